#include "cli/case_access.h"

#include <cstdio>
#include <cstdlib>

#include "casebook/case_file.h"
#include "casebook/cut_case.h"
#include "casebook/privacy.h"

namespace intercusp::cli {

int fail(const Error& error) {
  std::fprintf(stderr, "intercusp: %s\n", error.sentence().c_str());
  return kBad;
}

void note(const std::string& text) {
  std::fprintf(stderr, "intercusp: %s\n", text.c_str());
}

Result<Case> open_case(const std::string& path) {
  auto bytes = read_file(path);
  if (!bytes.ok()) return bytes.error();
  auto c = read_case(bytes.value().data(), bytes.value().size());
  if (c.ok()) return c;
  Error error = c.error();
  error.where = error.where.empty() ? path : path + ", " + error.where;
  return error;
}

Status save_case(const Case& c, const std::string& path, bool force) {
  if (const auto warning = id_warning(c.id)) note(*warning + ".");
  return save_atomically(path, write_case(c), force);
}

void MomentOptions::add_to(CLI::App& command) {
  command.add_option("--plan", plan, "the plan to look at");
  command.add_option("--at", at, "rest, intermediate or planned (default: planned when a plan is named, else rest)")
      ->check(CLI::IsMember({"rest", "intermediate", "planned"}));
}

Result<const Plan*> plan_named(const Case& c, const std::string& name) {
  if (const Plan* plan = c.find_plan(name)) return plan;
  std::string known;
  for (const Plan& plan : c.plans) known += (known.empty() ? "" : ", ") + plan.name;
  return Error{
      "the case has no plan named " + name, "",
      known.empty() ? "make one with `intercusp move CASE --plan " + name + " ...`" : "its plans are: " + known};
}

Result<std::unique_ptr<CaseAtMoment>> open_at(const std::string& path, const MomentOptions& options) {
  auto opened = open_case(path);
  if (!opened.ok()) return opened.error();
  auto state = std::make_unique<CaseAtMoment>();
  state->c = std::move(opened).value();
  if (!options.plan.empty()) {
    const auto named = plan_named(state->c, options.plan);
    if (!named.ok()) return named.error();
    state->plan = named.value();
  }
  const std::string at = !options.at.empty() ? options.at : state->plan ? "planned" : "rest";
  if (at != "rest" && !state->plan) return Error{"--at " + at + " needs a plan", "", "name one with --plan"};
  state->at = at == "rest" ? Moment::rest : at == "intermediate" ? Moment::intermediate : Moment::planned;
  if (state->plan) {
    auto cut = with_cuts(state->c, state->plan);
    if (!cut.ok()) return cut.error();
    state->c = std::move(cut).value();
    state->plan = state->c.find_plan(options.plan);
  }
  auto poses = segment_poses(state->c, state->plan, state->at);
  if (!poses.ok()) return poses.error();
  state->poses = std::move(poses).value();
  return state;
}

void add_format(CLI::App& command, std::string& format) {
  command.add_option("--format", format, "text (default), json or csv")->check(CLI::IsMember({"text", "json", "csv"}));
}

std::optional<double> whole_number(const std::string& text) {
  char* end = nullptr;
  const double value = std::strtod(text.c_str(), &end);
  if (text.empty() || end != text.c_str() + text.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

}  // namespace intercusp::cli
