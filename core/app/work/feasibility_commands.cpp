// Commands of the clearance stop's other pages: the bone after removal, and where plates go.
#include <algorithm>

#include "app/work/command_table.h"
#include "app/work/feasibility.h"
#include "app/work/surface_notes.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

constexpr double kMostClearance = 3;  // mm

// What is looked at on one page does not stand before another.
void leave_page(Workspace& w) {
  w.removal.show(false);
  w.trimmed.clear();
  w.chosen_clearance = w.chosen_plate = -1;
  if (w.section.at) w.section = {};
}

// {"name": in_way, taken_off or plates}
Result<Json> choose_page(Workspace& w, const Json& args) {
  const std::string name = text_at(args, "name").value_or("");
  for (const ClearancePage page : {ClearancePage::in_way, ClearancePage::taken_off, ClearancePage::plates}) {
    if (name != clearance_page_name(page)) continue;
    if (w.clearance_page != page || w.stop != Stop::clearance) leave_page(w);
    if (w.stop != Stop::clearance) w.left_open = true;
    w.stop = Stop::clearance;
    w.clearance_page = page;
    w.refresh();
    if (page == ClearancePage::plates) bring_up_plates(w);
    return nothing();
  }
  return Error{"\"" + name + "\" is not a page of the clearance stop", "", "use in_way, taken_off or plates"};
}

// {"index"}; without one no site is chosen any more.
Result<Json> choose_plate(Workspace& w, const Json& args) {
  const Result<Json> page = choose_page(w, {{"name", "plates"}});
  if (!page) return page;
  const double index = number_at(args, "index").value_or(-1);
  if (index >= static_cast<double>(w.plates.found().size()))
    return Error{"there is no such plate site", "", w.plates.found().empty() ? "make a cut first" : ""};
  w.chosen_plate = std::max(-1, static_cast<int>(index));
  if (w.chosen_plate >= 0) look_at_plate(w, w.plates.found()[static_cast<std::size_t>(w.chosen_plate)]);
  return nothing();
}

Result<FindBoneInWay> bones_to_compare(const Workspace& w) {
  if (!has_cuts(w.shown_plan())) return Error{"no bone has been cut, so none is taken off", "", "lay a cut first"};
  if (const Status ready = w.pieces_ready(); !ready) return ready.error();
  auto pairs = pairs_to_compare(w.shown(), w.readings.planned_poses());
  if (!pairs) return pairs.error();
  FindBoneInWay out{w.shown(), w.plan, w.readings.planned_poses(), {}, w.now().contact_settings};
  for (PosedPairOfBodies& pair : pairs.value())
    if (!is_dental(pair.first) && !is_dental(pair.second)) out.pairs.push_back(std::move(pair));
  return out;
}

// {"clearance_mm","shown"}: made anew where the position or the clearance changed.
Result<Json> show_bone_removal(Workspace& w, const Json& args) {
  if (const auto mm = number_at(args, "clearance_mm")) {
    if (*mm < 0 || *mm > kMostClearance)
      return Error{"a clearance lies between 0 and 3 mm", "clearance_mm", "choose another one"};
    w.removal.clearance_mm = *mm;
  }
  if (!flag_at(args, "shown").value_or(true)) {
    w.removal.show(false);
    return removal_json(w);
  }
  const Result<Json> page = choose_page(w, {{"name", "taken_off"}});
  if (!page) return page;
  const BonesTrimmed* made = w.removal.at(w.readings.version());
  if (made && made->clearance_mm == w.removal.clearance_mm) {
    w.removal.show(true);
    return removal_json(w);
  }
  auto where = bones_to_compare(w);
  if (!where) return where.error();
  const Status asked =
      w.removal.ask(w.errands, std::move(where).value(), w.removal.clearance_mm, w.readings.version(),
                    [&w](const SurfacePtr& surface, SurfaceNotes notes) { keep_notes(w, surface, std::move(notes)); });
  if (!asked) return asked.error();
  return removal_json(w);
}

// {"on"}: the remarks in full.
Result<Json> show_stability(Workspace& w, const Json& args) {
  w.stability_open = flag_at(args, "on").value_or(!w.stability_open);
  return nothing();
}

}  // namespace

void add_feasibility_commands(std::map<std::string, Command>& t) {
  t["clearance_page"] = {choose_page};
  t["plate"] = {choose_plate};
  t["bone_removal"] = {show_bone_removal};
  t["stability"] = {show_stability};
}

}  // namespace intercusp
