// The distance between two places of the model.
#include <nlohmann/json.hpp>

#include "app/work/command_table.h"
#include "app/work/landmark_change.h"
#include "app/work/practice.h"
#include "app/work/ruler.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

/// {"on"} takes the ruler into the hand or lays it aside; {"at": patient mm} puts its next end, a third one begins
/// anew.
Result<Json> ruler(Workspace& w, const Json& args) {
  if (w.practice && !practice_allows_tools(w))
    return Error{"this set is answered without a ruler", "ruler", "estimate, or read it after the answer"};
  if (member(args, "at")) {
    const auto at = place_in(args);
    if (!at) return Error{"that is no place", "ruler", "give at as three numbers, patient mm"};
    if (w.rule.size() >= 2) w.rule.clear();
    w.rule.push_back(*at);
    w.tool = Tool::rule;
    return ruler_json(w);
  }
  const bool on = flag_at(args, "on").value_or(w.tool != Tool::rule);
  w.rule.clear();
  w.popover = Popover::none;
  w.tool = on ? Tool::rule : Tool::turn;
  return ruler_json(w);
}

}  // namespace

void add_ruler_commands(std::map<std::string, Command>& t) {
  t["ruler"] = {ruler};
}

}  // namespace intercusp
