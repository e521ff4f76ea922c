// Commands on the panels themselves: stops, explanations, theme, folding, popovers.
#include "app/view/layout.h"
#include "app/work/class_work.h"
#include "app/work/command_table.h"
#include "app/work/stops.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

void leave_tools(Workspace& w) {
  if (w.tool == Tool::click_teeth) set_layout(w, w.layout_before);
  w.tool = Tool::turn;
  w.landmark_wanted.clear();
  if (w.held == Moment::rest) w.held = Moment::planned;  // what stands in between is looked at from several stops
  w.explained.clear();                                   // it would stand before what the next stop shows
}

/// Ends what is being done beside the screen while a person waits for it.
Result<Json> stop_doing(Workspace& w, const Json&) {
  if (w.errands.words().empty()) return Json{{"stopped", false}};
  w.clicks_due.clear();
  w.errands.cancel();
  w.say({Message::Kind::note, "Stopped: nothing was changed", "", "", 0});
  return Json{{"stopped", true}};
}

Result<Json> stop(Workspace& w, const Json& args) {
  const std::string name = text_at(args, "name").value_or("");
  const auto found = stop_of(name);
  if (!found) return Error{"there is no stop \"" + name + "\"", "", ""};
  if (*found != w.stop) leave_tools(w), w.stability_open = false;
  if (*found != Stop::clearance) {
    w.chosen_clearance = -1;
    w.trimmed.clear();
    w.removal.show(false);
    w.chosen_plate = -1;
  }
  if (*found != Stop::clearance && w.section.at) w.section = {};
  if (*found != Stop::clearance) look_from_before(w);
  if (*found == Stop::cuts && *found != w.stop) see_bone(w);
  w.stop = *found;
  w.left_open = true;
  return nothing();
}

Result<Json> explain(Workspace& w, const Json& args) {
  const std::string id = text_at(args, "id").value_or("");
  if (!id.empty() && !find_measure(id)) return Error{"there is no measure \"" + id + "\"", "", ""};
  w.explained = id;
  w.explain_more = false;
  return nothing();
}

Result<Json> choose_theme(Workspace& w, const Json& args) {
  const std::string name = text_at(args, "name").value_or("system");
  if (name != "light" && name != "dark" && name != "system")
    return Error{"\"" + name + "\" is not a theme", "", "use light, dark or system"};
  w.theme_choice = name;
  w.host.keep_setting("theme", name);
  return nothing();
}

Result<Json> fold(Workspace& w, const Json& args) {
  bool& open = text_at(args, "panel").value_or("left") == "right" ? w.right_open : w.left_open;
  open = flag_at(args, "open").value_or(!open);
  w.host.keep_setting("left_panel", w.left_open ? "open" : "folded");
  w.host.keep_setting("right_panel", w.right_open ? "open" : "folded");
  return nothing();
}

// Backs out of one thing, the innermost first.
Result<Json> back(Workspace& w, const Json&) {
  if (w.popover != Popover::none)
    w.popover = Popover::none;
  else if (w.class_open)
    leave_class_page(w);
  else if (w.stability_open)
    w.stability_open = false;
  else if (!w.explained.empty())
    w.explained.clear();
  else if (w.tool != Tool::turn)
    leave_tools(w);
  else if (!w.trimmed.empty())
    w.trimmed.clear();
  else if (w.removal.shown(w.readings.version()))
    w.removal.show(false);
  else if (w.chosen_plate >= 0)
    w.chosen_plate = -1;
  else if (w.section.on)
    w.section = {}, w.chosen_clearance = -1;
  else if (w.held != Moment::planned)
    w.held = Moment::planned;
  return nothing();
}

// The one-minute try: {"on"} begins or ends it, {"step"} goes to a step.
Result<Json> guide_command(Workspace& w, const Json& args) {
  const bool on = flag_at(args, "on").value_or(true);
  const int step = static_cast<int>(number_at(args, "step").value_or(on ? 1 : kGuideSteps + 1));
  w.guide = !on || step < 0 || step > kGuideSteps ? -1 : step;
  if (w.guide < 0) w.host.keep_setting("tried", "yes");
  return Json{{"step", w.guide}};
}

Result<Json> erase_kept(Workspace& w, const Json& args) {
  if (!w.host.can_forget()) return Error{"this program keeps its work in files of yours", "", "delete those"};
  if (!flag_at(args, "sure").value_or(false))
    return Error{"everything kept here would be erased", "", "save what you want to keep; then say that you are sure"};
  w.host.forget_everything();
  return nothing();
}

Command opens(Popover which, bool needs_case) {
  return {[which](Workspace& w, const Json&) {
            w.popover = which;
            return nothing();
          },
          needs_case};
}

Result<Json> next(Workspace& w, const Json&) {
  const NextThing thing = next_thing(w);
  return Json{{"words", thing.words}, {"command", thing.command}, {"args", thing.args}};
}

}  // namespace

void add_panel_commands(std::map<std::string, Command>& t) {
  t["stop"] = {stop};
  t["explain"] = {explain};
  t["theme"] = {choose_theme, false};
  t["fold"] = {fold, false};
  t["stop_doing"] = {stop_doing, false};
  t["back"] = {back, false};
  t["home"] = opens(Popover::start, false);
  t["share_box"] = opens(Popover::share, true);
  t["keys"] = opens(Popover::keys, false);
  t["show_box"] = opens(Popover::show, true);
  t["rename_box"] = opens(Popover::name_case, true);
  t["history"] = opens(Popover::history, true);
  t["people"] = opens(Popover::people, true);
  t["kept_box"] = opens(Popover::kept, false);
  t["erase_kept"] = {erase_kept, false};
  t["guide"] = {guide_command, false};
  t["next"] = {next, false};
}

}  // namespace intercusp
