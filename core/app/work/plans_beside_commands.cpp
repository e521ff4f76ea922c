// The command that holds two plans of the case beside each other.
#include "app/work/command_table.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

// {"first","second"}: first is the plan worked on where it is not said.
Result<Json> plans_beside_command(Workspace& w, const Json& args) {
  ComparePlans errand{w.now(), text_at(args, "first").value_or(w.plan), text_at(args, "second").value_or("")};
  if (errand.first.empty()) return Error{"there is no plan yet to compare", "", "move a jaw first"};
  const auto told = std::make_shared<Json>(Json::object());
  const auto then = [&w, told, revision = w.document.revision()](ErrandAnswer& answer) -> Status {
    if (const auto* error = std::get_if<Error>(&answer)) return *error;
    const auto* compared = std::get_if<PlansCompared>(&answer);
    if (!compared) return Error{"the plans could not be compared", "", "close other pages and try again"};
    *told = Json::parse(compared->report, nullptr, false);
    w.beside = {std::make_shared<const Json>(*told), revision};
    w.popover = Popover::plans;
    w.wake();
    return Done{};
  };
  const Status asked = w.errands.go(std::move(errand), "Comparing the plans", then);
  if (!asked) return asked.error();
  return *told;
}

}  // namespace

void add_plans_beside_commands(std::map<std::string, Command>& t) {
  t["plans_beside"] = {plans_beside_command};
}

}  // namespace intercusp
