#include <cmath>
#include <cstdio>

#include <nlohmann/json.hpp>

#include "casebook/case_file.h"
#include "casebook/closing.h"
#include "casebook/condyles.h"
#include "cli/commands.h"
#include "cli/plan_edit.h"

namespace intercusp::cli {

using nlohmann::json;

namespace {

struct CloseOptions {
  PlanOptions plan;
  std::string until = "contact", axis = "condyles", format = "text";
};

constexpr double kSplint = 1.0;  ///< mm between the nearest teeth: common practice, no source

Result<ClosingGoal> goal_of(const CloseOptions& options) {
  ClosingGoal goal;
  goal.axis = options.axis;
  const std::size_t colon = options.until.find(':');
  const std::string what = options.until.substr(0, colon);
  const bool given = colon != std::string::npos;
  const auto number = given ? whole_number(options.until.substr(colon + 1)) : std::optional<double>(kSplint);
  const Error bad{"\"" + options.until + "\" is not understood", "--until",
                  "write contact, vertical:MM, splint or splint:MM"};
  if (!number) return bad;
  goal.mm = number.value_or(0);
  if (what == "contact" && !given) return goal;
  if (what == "vertical" && given) {
    goal.until = ClosingGoal::Until::vertical;
    return goal;
  }
  if (what != "splint" || !(goal.mm > 0 && goal.mm <= 20)) return bad;
  goal.until = ClosingGoal::Until::splint;
  return goal;
}

json shift(const Vec3& by) {
  return {{"forward_mm", -by.y()}, {"up_mm", by.z()}, {"left_mm", by.x()}};
}

json touches(const std::vector<Touch>& list) {
  json rows = json::array();
  for (const Touch& touch : list) {
    json row = {{"between", {touch.upper_body, touch.lower_body}}, {"at", {touch.at.x(), touch.at.y(), touch.at.z()}}};
    if (touch.upper_tooth && touch.lower_tooth) {
      row["teeth"] = {std::to_string(touch.upper_tooth), std::to_string(touch.lower_tooth)};
    }
    rows.push_back(std::move(row));
  }
  return rows;
}

json result_json(const ClosingResult& r) {
  json out = {
      {"open_deg", r.closing.open_deg}, {"incisors", shift(r.incisors_moved)}, {"first_contact", touches(r.first)}};
  if (r.chin_known) out["Pog"] = shift(r.chin_moved);
  return out;
}

json report_of(const ClosingResult& result, const std::vector<ClosingVariant>& variants, const Case& c,
               const SegmentPoses& poses) {
  json out = result_json(result);
  out["until"] = result.closing.until;
  out["axis"] = result.closing.axis;
  out["other_axes"] = json::array();
  for (const ClosingVariant& variant : variants) {
    json row = result_json(variant.result);
    row["words"] = variant.words;
    row["source"] = variant.source;
    row["axis_back_mm"] = variant.back_mm;
    row["axis_up_mm"] = variant.up_mm;
    out["other_axes"].push_back(std::move(row));
  }
  out.update(condyle_report(c, poses));
  return out;
}

std::string teeth_words(const json& r) {
  std::string words;
  for (const json& touch : r["first_contact"]) {
    const json& pair = touch.contains("teeth") ? touch["teeth"] : touch["between"];
    words += (words.empty() ? "" : ", ") + pair[0].get<std::string>() + " on " + pair[1].get<std::string>();
  }
  return words;
}

std::string amount(double mm, const char* positive, const char* negative) {
  char text[64];
  std::snprintf(text, sizeof text, "%.2f mm %s", std::abs(mm), mm < 0 ? negative : positive);
  return text;
}

std::string shift_words(const json& by) {
  return amount(by["forward_mm"].get<double>(), "forward", "back") + ", " +
         amount(by["up_mm"].get<double>(), "up", "down");
}

void print_turn(const char* name, const json& r) {
  const double deg = r["open_deg"].get<double>();
  std::printf("%-11s %.3f degrees %s; incisors %s", name, std::abs(deg), deg < 0 ? "closed" : "opened",
              shift_words(r["incisors"]).c_str());
  if (r.contains("Pog")) std::printf("; Pog %s", shift_words(r["Pog"]).c_str());
  std::printf("; first contact %s\n", teeth_words(r).c_str());
}

void print_space(const char* name, const json& space) {
  const auto text = [](const json& v) {
    char out[32] = "-";
    if (!v.is_null()) std::snprintf(out, sizeof out, "%.2f", v.get<double>());
    return std::string(out);
  };
  std::printf("  %s %s -> %s (%.1f +- %.1f)", name, text(space["before_mm"]).c_str(), text(space["after_mm"]).c_str(),
              space["published_mean_mm"].get<double>(), space["published_sd_mm"].get<double>());
}

void print_close_text(const json& r) {
  print_turn("turned", r);
  for (const json& other : r["other_axes"]) {
    std::printf("axis %s, %s of the condyle's centre (%s, %s)\n",
                amount(other["axis_back_mm"].get<double>(), "behind", "before").c_str(),
                amount(other["axis_up_mm"].get<double>(), "above", "below").c_str(),
                other["words"].get<std::string>().c_str(), other["source"].get<std::string>().c_str());
    print_turn("", other);
  }
  for (const json& condyle : r["condyles"]) {
    std::printf("condyle     %-5s %s, %s, turned %.2f degrees\n           ", condyle["side"].get<std::string>().c_str(),
                shift_words(condyle).c_str(),
                amount(condyle["left_mm"].get<double>(), "to the left", "to the right").c_str(),
                condyle["turn_deg"].get<double>());
    for (const char* space : {"anterior", "superior", "posterior"}) print_space(space, condyle[space]);
    std::printf("\n");
  }
  if (!r["condyles"].empty())
    std::printf("joint spaces in mm, published: %s\n%s\n", r["source"].get<std::string>().c_str(),
                r["caution"].get<std::string>().c_str());
}

int run(const CloseOptions& options) {
  const auto goal = goal_of(options);
  if (!goal.ok()) return fail(goal.error());
  auto opened = open_plan(options.plan);
  if (!opened.ok()) return fail(opened.error());
  PlanEdit edit = std::move(opened).value();
  const auto cut = with_cuts(edit.c, &edit.edited());
  if (!cut.ok()) return fail(cut.error());
  const auto poses = segment_poses(cut.value(), &edit.edited(), Moment::planned);
  if (!poses.ok()) return fail(poses.error());
  const auto result = find_closing(cut.value(), poses.value(), goal.value());
  if (!result.ok()) return fail(result.error());
  const auto variants = closing_variants(cut.value(), poses.value(), goal.value());
  edit.edited().entries.push_back(closing_entry(result.value().closing));
  const auto closed = segment_poses(cut.value(), &edit.edited(), Moment::planned);
  if (!closed.ok()) return fail(closed.error());
  const Status saved = save_case(edit.c, options.plan.out, options.plan.force);
  if (!saved.ok()) return fail(saved.error());
  const json report = report_of(result.value(), variants, cut.value(), closed.value());
  if (options.format == "json") {
    std::printf("%s\n", report.dump(2).c_str());
  } else {
    print_close_text(report);
  }
  return kDone;
}

}  // namespace

Run add_close(CLI::App& app) {
  auto options = std::make_shared<CloseOptions>();
  options->plan.add_to(app);
  app.add_option("--until", options->until,
                 "contact (default), vertical:MM (lower incisal edges MM below the upper ones), splint or splint:MM "
                 "(least gap between the arches, default 1)");
  app.add_option("--axis", options->axis,
                 "condyles (through the centres, default) or arbitrary (Bergstroem's points, from Po and Or)")
      ->check(CLI::IsMember({"condyles", "arbitrary"}));
  app.add_option("--format", options->format, "text (default) or json")->check(CLI::IsMember({"text", "json"}));
  return [options] { return run(*options); };
}

}  // namespace intercusp::cli
