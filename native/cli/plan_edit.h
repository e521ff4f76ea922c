// What cut, move and close share: the plan that they append to.
#pragma once

#include "casebook/cut_case.h"
#include "cli/case_access.h"

namespace intercusp::cli {

/// A case opened to be changed, and its plan, made if it does not exist.
struct PlanEdit {
  Case c;
  std::size_t plan = 0;
  bool made = false;  ///< the plan is new

  Plan& edited() { return c.plans[plan]; }
};

/// Options --plan, -o, --force, --first and the case of a command that appends to a plan.
struct PlanOptions {
  std::string path, plan, out, first;
  bool force = false;

  void add_to(CLI::App& command);
};

Result<PlanEdit> open_plan(const PlanOptions& options);

}  // namespace intercusp::cli
