#include "cli/plan_edit.h"

namespace intercusp::cli {

void PlanOptions::add_to(CLI::App& command) {
  command.add_option("case", path, "the case file")->required();
  command.add_option("--plan", plan, "the plan to append to; made if it does not exist")->required();
  command.add_option("--first", first, "which jaw moves first and gives the intermediate position: upper or lower")
      ->check(CLI::IsMember({"upper", "lower"}));
  command.add_option("-o,--output", out, "the case file to write; may be the input with --force")->required();
  command.add_flag("--force", force, "overwrite what is there");
}

Result<PlanEdit> open_plan(const PlanOptions& options) {
  auto opened = open_case(options.path);
  if (!opened.ok()) return opened.error();
  PlanEdit edit{std::move(opened).value(), 0, false};
  const Plan* found = edit.c.find_plan(options.plan);
  edit.made = found == nullptr;
  if (!found) {
    Plan plan;
    plan.name = options.plan;
    edit.c.plans.push_back(std::move(plan));
    found = &edit.c.plans.back();
  }
  edit.plan = static_cast<std::size_t>(found - edit.c.plans.data());
  if (!options.first.empty()) edit.edited().first_jaw = options.first;
  return edit;
}

}  // namespace intercusp::cli
