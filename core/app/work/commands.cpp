#include "app/work/commands.h"

#include <algorithm>
#include <map>

#include "app/scene/words.h"
#include "app/view/layout.h"
#include "app/view/pick.h"
#include "app/work/command_table.h"
#include "app/work/review.h"

namespace intercusp {

namespace {

const std::map<std::string, Command>& table() {
  static const std::map<std::string, Command> all = [] {
    std::map<std::string, Command> t;
    add_case_commands(t);
    add_plan_commands(t);
    add_cut_commands(t);
    add_target_commands(t);
    add_view_commands(t);
    add_landmark_commands(t);
    add_condyle_commands(t);
    add_face_commands(t);
    add_zone_commands(t);
    add_ruler_commands(t);
    add_proposal_commands(t);
    add_panel_commands(t);
    add_number_commands(t);
    add_practice_commands(t);
    add_class_commands(t);
    add_splint_commands(t);
    add_plans_beside_commands(t);
    add_feasibility_commands(t);
    add_sheet_commands(t);
    add_review_commands(t);
    add_remark_commands(t);
    return t;
  }();
  return all;
}

}  // namespace

Result<nlohmann::json> act(Workspace& w, const std::string& name, const nlohmann::json& args) {
  const auto found = table().find(name);
  if (found == table().end()) return Error{"there is no command \"" + name + "\"", "", "see docs/page-interface.md"};
  if (found->second.needs_case && !w.has_case) return Error{"no case is open", name, "open a sample or two scans"};
  w.wake();
  auto result = found->second.act(w, args.is_object() ? args : nlohmann::json::object());
  const std::string refusal = w.document.take_refusal();
  publish_if_due(w);  // on its way while the rest is worked out
  w.refresh();
  if (!refusal.empty()) return Error{refusal, "", "ask whoever shared it for the link for changing"};
  return result;
}

bool run(Workspace& w, const std::string& name, const nlohmann::json& args) {
  const auto result = act(w, name, args);
  if (!result) w.say_error(result.error(), "nothing was changed");
  return result.ok();
}

std::vector<std::string> command_names() {
  std::vector<std::string> names;
  for (const auto& [name, command] : table()) names.push_back(name);
  return names;
}

}  // namespace intercusp
