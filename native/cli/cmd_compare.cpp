#include <cmath>
#include <cstdio>
#include <limits>

#include <nlohmann/json.hpp>

#include "casebook/achieved_report.h"
#include "casebook/cut_case.h"
#include "casebook/plans_beside.h"
#include "cli/case_access.h"
#include "cli/commands.h"

namespace intercusp::cli {

using nlohmann::json;

namespace {

struct CompareOptions {
  std::string planned, achieved, plan, with, limit, format = "text";
};

/// The plan that was meant: the one named, or the only one there is.
Result<const Plan*> meant_plan(const Case& c, const std::string& name) {
  if (name.empty() && c.plans.size() == 1) return &c.plans.front();
  if (name.empty())
    return Error{c.plans.empty() ? "it has no plan to compare with" : "it has several plans", "the planned case",
                 c.plans.empty() ? "plan a movement first: intercusp move" : "say which with --plan"};
  return plan_named(c, name);
}

void print_segment(const json& s) {
  std::printf("%-14s %s; at most %.2f mm off (laid on its surface within %.2f mm)\n",
              s["segment"].get<std::string>().c_str(), s["words"].get<std::string>().c_str(),
              s["largest_mm"].get<double>(), s["residual_mm"].get<double>());
}

void print_compare_text(const json& r) {
  std::printf("case %s, plan %s, against %s; laid on %s within %.2f mm\n\n", r["planned"].get<std::string>().c_str(),
              r["plan"].get<std::string>().c_str(), r["achieved"].get<std::string>().c_str(),
              r["laid_on"].get<std::string>().c_str(), r["residual_mm"].get<double>());
  std::printf("From where it was planned to where it came to stand:\n");
  for (const json& segment : r["segments"]) print_segment(segment);
  std::printf("\n%-34s %10s %10s %10s %10s\n", "", "start", "planned", "achieved", "off by");
  for (const json& row : r["measures"]) {
    std::printf("%-34s %10.2f %10.2f %10.2f %+10.2f %s\n", row["name"].get<std::string>().c_str(),
                row["start"].get<double>(), row["planned"].get<double>(), row["achieved"].get<double>(),
                row["difference"].get<double>(), row["unit"].get<std::string>().c_str());
  }
  for (const json& condyle : r["condyles"])
    std::printf("condyle %s: %.2f mm forward, %.2f mm up, %.2f mm to the left of where it was, turned %.2f degrees\n",
                condyle["side"].get<std::string>().c_str(), condyle["forward_mm"].get<double>(),
                condyle["up_mm"].get<double>(), condyle["left_mm"].get<double>(), condyle["turn_deg"].get<double>());
  for (const json& sentence : r["not_compared"]) std::printf("%s\n", sentence.get<std::string>().c_str());
  std::printf("\n%s\n", r["caution"].get<std::string>().c_str());
}

/// `off:MM`: no point of a segment may stand farther from its planned place.
Result<double> farthest_allowed(const std::string& text) {
  if (text.empty()) return std::numeric_limits<double>::infinity();
  const auto value = text.rfind("off:", 0) == 0 ? whole_number(text.substr(4)) : std::nullopt;
  if (!value || *value < 0) return Error{"\"" + text + "\" is not a limit", "--limit", "write off:MM"};
  return *value;
}

std::string number_or_dash(const json& value) {
  char text[32] = "-";
  if (!value.is_null()) std::snprintf(text, sizeof text, "%.2f", value.get<double>());
  return text;
}

void print_plans_text(const json& r) {
  const std::string first = "plan " + r["plans"][0].get<std::string>(),
                    second = "plan " + r["plans"][1].get<std::string>();
  std::printf("case %s, %s and %s beside each other\n\nFrom %s to %s:\n", r["case"].get<std::string>().c_str(),
              first.c_str(), second.c_str(), first.c_str(), second.c_str());
  for (const json& s : r["segments"])
    std::printf("%-14s %s\n", s["segment"].get<std::string>().c_str(), s["words"].get<std::string>().c_str());
  std::printf("\n%-34s %10s %10s %10s %10s\n", "", "start", first.c_str(), second.c_str(), "differs by");
  for (const json& row : r["measures"]) {
    if (std::abs(row["difference"].get<double>()) < 0.005) continue;
    std::printf("%-34s %10s %10.2f %10.2f %+10.2f %s\n", row["name"].get<std::string>().c_str(),
                number_or_dash(row["start"]).c_str(), row["first"].get<double>(), row["second"].get<double>(),
                row["difference"].get<double>(), row["unit"].get<std::string>().c_str());
  }
  std::printf("\n%-46s %10s %10s\n", "deepest overlap (mm)", first.c_str(), second.c_str());
  for (const json& row : r["clearance"]) {
    const auto deepest = [](const json& meeting) { return meeting.is_null() ? json() : meeting["deepest_mm"]; };
    std::printf("%-46s %10s %10s\n",
                (row["between"][0].get<std::string>() + " on " + row["between"][1].get<std::string>()).c_str(),
                number_or_dash(deepest(row["first"])).c_str(), number_or_dash(deepest(row["second"])).c_str());
  }
  std::printf("\n%s\n", r["caution"].get<std::string>().c_str());
}

/// Two plans of one case.
int run_plans(const CompareOptions& options) {
  if (!options.achieved.empty() || !options.limit.empty())
    return fail(Error{"--with compares two plans of one case", "intercusp compare",
                      "leave out the second case and --limit, or leave out --with"});
  if (options.plan.empty())
    return fail(Error{"it is not said what to compare with plan " + options.with, "--plan", "name it"});
  const auto c = open_case(options.planned);
  if (!c.ok()) return fail(c.error());
  const auto report = plans_beside(c.value(), options.plan, options.with);
  if (!report.ok()) return fail(report.error());
  if (options.format == "json") {
    std::printf("%s\n", report.value().dump(2).c_str());
  } else {
    print_plans_text(report.value());
  }
  return kDone;
}

int run(const CompareOptions& options) {
  if (!options.with.empty()) return run_plans(options);
  if (options.achieved.empty())
    return fail(Error{"there is nothing to compare with", "intercusp compare",
                      "name the case scanned afterwards, or another plan of this case with --with"});
  const auto allowed = farthest_allowed(options.limit);
  if (!allowed.ok()) return fail(allowed.error());
  const auto planned = open_case(options.planned), achieved = open_case(options.achieved);
  if (!planned.ok()) return fail(planned.error());
  if (!achieved.ok()) return fail(achieved.error());
  const auto plan = meant_plan(planned.value(), options.plan);
  if (!plan.ok()) return fail(plan.error());
  const auto cut = with_cuts(planned.value(), plan.value());
  if (!cut.ok()) return fail(cut.error());
  const auto poses = segment_poses(cut.value(), plan.value(), Moment::planned);
  if (!poses.ok()) return fail(poses.error());
  const auto found = find_achieved(cut.value(), poses.value(), achieved.value());
  if (!found.ok()) return fail(found.error());
  const json report = achieved_report(cut.value(), *plan.value(), poses.value(), found.value(), achieved.value().id);
  if (options.format == "json") {
    std::printf("%s\n", report.dump(2).c_str());
  } else {
    print_compare_text(report);
  }
  bool outside = false;
  for (const AchievedSegment& segment : found.value().segments) {
    if (segment.largest_mm <= allowed.value()) continue;
    note(segment.segment + " stands farther from its planned place than " + options.limit.substr(4) + " mm");
    outside = true;
  }
  return outside ? kOutsideLimit : kDone;
}

}  // namespace

Run add_compare(CLI::App& app) {
  auto options = std::make_shared<CompareOptions>();
  app.add_option("planned", options->planned, "the case with the plan")->required();
  app.add_option("achieved", options->achieved, "the case scanned afterwards");
  app.add_option("--plan", options->plan, "the plan that was carried out (default: the only one)");
  app.add_option("--with", options->with, "another plan of the same case, to hold beside --plan");
  app.add_option("--limit", options->limit,
                 "off:MM; a segment with a point farther from its planned place makes the exit code 1");
  app.add_option("--format", options->format, "text (default) or json")->check(CLI::IsMember({"text", "json"}));
  return [options] { return run(*options); };
}

}  // namespace intercusp::cli
