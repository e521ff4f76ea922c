// Commands on how the case is looked at.
#include <algorithm>

#include "app/scene/gap_words.h"
#include "app/view/layout.h"
#include "app/view/pick.h"
#include "app/work/command_table.h"
#include "app/work/view_json.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

std::size_t view_index(const Workspace& w, const Json& args) {
  const double i = number_at(args, "view").value_or(static_cast<double>(w.active_view));
  return static_cast<std::size_t>(std::clamp(i, 0.0, static_cast<double>(w.views.size() - 1)));
}

Result<Json> view(Workspace& w, const Json& args) {
  const std::string name = text_at(args, "name").value_or("front");
  for (const char* known : {"fit", "front", "right", "left", "upper", "lower"}) {
    if (name != known) continue;
    send_view(w, view_index(w, args), name);
    return nothing();
  }
  return Error{"\"" + name + "\" is not a view", "", "use front, right, left, upper, lower or fit"};
}

Result<Json> layout(Workspace& w, const Json& args) {
  const std::string name = text_at(args, "name").value_or("one");
  if (name != "one" && name != "two" && name != "four" && name != "record")
    return Error{"\"" + name + "\" is not a layout", "", "use one, two, four or record"};
  set_layout(w, name);
  return nothing();
}

Result<Json> set_camera(Workspace& w, const Json& args) {
  View& v = w.views[view_index(w, args)];
  if (!read_camera(args, v.camera))
    return Error{"that is not a camera", "set_camera", "give rotation, target and half_height_mm"};
  v.record.clear();
  w.glide.reset();
  w.fit_due = false;
  return nothing();
}

// A switch: {"on"} sets it, nothing turns it over.
Result<Json> turn(bool& value, const Json& args) {
  value = flag_at(args, "on").value_or(!value);
  return Json{{"on", value}};
}

// Looks at the cut face from the side that was taken away.
void face_section(Workspace& w) {
  const std::string& axis = w.section.axis;
  View& v = w.views[w.active_view];
  v.shown = Shown::all;
  const char* record = axis == "frontal" ? "front" : axis == "level" ? "lower" : "left";
  Camera c = camera_for(w, v, record);
  v.record = axis == "level" ? "" : record;
  v.shown = Shown::all;
  glide_to(w, w.active_view, c);
}

Result<Json> show_section(Workspace& w, const Json& args) {
  const std::string axis = text_at(args, "axis").value_or(w.section.axis);
  if (axis != "sagittal" && axis != "frontal" && axis != "level")
    return Error{"\"" + axis + "\" is not a direction of section", "", "use sagittal, frontal or level"};
  auto answer = turn(w.section.on, args);
  if (axis != w.section.axis) w.section.place_mm = axis == "frontal" ? -25 : 0;  // at the first molars
  w.section.axis = axis;
  const double place = number_at(args, "place_mm").value_or(w.section.place_mm);
  w.section.place_mm = std::clamp(place, -60.0, 60.0);
  w.section.at.reset();
  w.section.normal.reset();
  if (w.section.on && flag_at(args, "turn").value_or(w.views.size() == 1)) face_section(w);
  return answer;
}

Result<Json> contact_map(Workspace& w, const Json& args) {
  const auto limit = number_at(args, "limit_mm");
  if (limit) w.gap.limit_mm = static_cast<float>(std::clamp(*limit, 0.05, 3.0));
  if (const auto mode = text_at(args, "mode"))
    w.gap.mode = *mode == "overlap" ? GapMode::overlap_amount : GapMode::signed_gap;
  return limit && !flag_at(args, "on") ? Result<Json>(Json{{"on", w.gap.on = true}}) : turn(w.gap.on, args);
}

Result<Json> show_jaw(Workspace& w, const Json& args) {
  const bool lower = text_at(args, "jaw").value_or("upper") == "lower";
  bool& through = lower ? w.through_lower : w.through_upper;
  through = flag_at(args, "see_through").value_or(through);
  if (flag_at(args, "see_through") && !flag_at(args, "on")) return Json{{"see_through", through}};
  return turn(lower ? w.show_lower : w.show_upper, args);
}

// The jaw from which the overlap is shown as taken off; {"jaw":""} shows both whole again.
Result<Json> show_removal(Workspace& w, const Json& args) {
  const std::string jaw = text_at(args, "jaw").value_or("");
  if (!jaw.empty() && jaw != "upper" && jaw != "lower")
    return Error{"\"" + jaw + "\" is not a jaw", "", "use upper or lower, or nothing to end the preview"};
  w.trimmed = jaw;
  return nothing();
}

Result<Json> picture(Workspace& w, const Json& args) {
  const std::string& record = w.views[view_index(w, args)].record;
  w.active_view = view_index(w, args);
  w.picture_due = file_stem(w) + (record.empty() ? "" : "-" + record) + ".png";
  w.popover = Popover::none;
  return Json{{"name", w.picture_due}};
}

Vec3 section_normal(const ClearanceRow& row) {
  // A plane that holds the direction in which the jaw would come free, as upright and sagittal as it allows.
  Vec3 n = row.direction.cross(Vec3::UnitY());
  if (n.norm() < 0.2) n = row.direction.cross(Vec3::UnitX());
  n.normalize();
  return n.x() < 0 ? -n : n;
}

Result<Json> clearance(Workspace& w, const Json& args) {
  const auto& rows = w.contacts.clearance();
  const double index = number_at(args, "index").value_or(0);
  if (index < 0 || index >= static_cast<double>(rows.size()))
    return Error{"the clearance list has no such row", "", ""};
  w.stop = Stop::clearance;
  if (w.clearance_page == ClearancePage::plates) w.clearance_page = ClearancePage::in_way;
  w.chosen_plate = -1;
  w.explained.clear();
  w.chosen_clearance = static_cast<int>(index);
  const ClearanceRow& row = rows[static_cast<std::size_t>(index)];
  keep_looking_place(w);
  look_at_section(w, row.at, section_normal(row), 9);
  return nothing();
}

Result<Json> pick_command(Workspace& w, const Json& args) {
  const auto x = number_at(args, "x"), y = number_at(args, "y");
  if (!x || !y) return Error{"no place to pick", "pick", "give x and y in logical pixels"};
  const float px_x = static_cast<float>(*x) * w.scale, px_y = static_cast<float>(*y) * w.scale;
  for (std::size_t i = 0; i < w.views.size(); ++i) {
    if (!w.views[i].rect.contains(px_x, px_y)) continue;
    const auto hit = pick(w, i, px_x, px_y);
    if (!hit) break;
    return Json{{"body", hit->body},
                {"triangle", hit->triangle},
                {"at", {hit->patient.x(), hit->patient.y(), hit->patient.z()}},
                {"scan", {hit->scan.x(), hit->scan.y(), hit->scan.z()}}};
  }
  return Json{{"body", nullptr}};
}

// The gap to the other jaw under a place of the screen.
Result<Json> gap_under(Workspace& w, const Json& args) {
  const auto x = number_at(args, "x"), y = number_at(args, "y");
  if (!x || !y) return Error{"no place to read", "gap_at", "give x and y in logical pixels"};
  const float px_x = static_cast<float>(*x) * w.scale, px_y = static_cast<float>(*y) * w.scale;
  for (std::size_t i = 0; i < w.views.size(); ++i) {
    if (!w.views[i].rect.contains(px_x, px_y)) continue;
    const auto hit = pick(w, i, px_x, px_y);
    if (!hit) break;
    const auto gap =
        gap_here(w.shown(), w.contacts, w.readings.now().points, hit->body, hit->triangle, hit->scan, hit->patient);
    if (!gap) break;
    return Json{{"gap_mm", gap->gap_mm}, {"upper", gap->upper}, {"lower", gap->lower}, {"words", gap_words(*gap)}};
  }
  return Json{{"gap_mm", nullptr}, {"words", ""}};
}

// Where a patient point, or a landmark, stands on the screen, in logical pixels.
Result<Json> project(Workspace& w, const Json& args) {
  const View& v = w.views[view_index(w, args)];
  Vec3 p = Vec3::Zero();
  if (const auto name = text_at(args, "landmark")) {
    const auto found = w.readings.now().points.find(*name);
    if (found == w.readings.now().points.end()) return Error{*name + " is not placed", "", ""};
    p = found->second;
  } else {
    const auto x = number_at(args, "x"), y = number_at(args, "y"), z = number_at(args, "z");
    if (!x || !y || !z) return Error{"no point", "project", "give landmark, or x, y and z"};
    p = Vec3(*x, *y, *z);
    if (text_at(args, "frame").value_or("patient") == "scanner") p = w.now().patient_from_scans * p;
  }
  const auto q = Projection{v.camera, v.rect}.pixel(p);
  return Json{{"x", q.x() / w.scale}, {"y", q.y() / w.scale}, {"visible", visible(w, view_index(w, args), p)}};
}

}  // namespace

void add_view_commands(std::map<std::string, Command>& t) {
  t["view"] = {view};
  t["layout"] = {layout};
  t["set_camera"] = {set_camera};
  t["section"] = {show_section};
  t["contact_map"] = {contact_map};
  t["ghost"] = {[](Workspace& w, const Json& a) { return turn(w.ghost, a); }};
  t["show_jaw"] = {show_jaw};
  t["tooth_numbers"] = {[](Workspace& w, const Json& a) { return turn(w.tooth_numbers, a); }};
  t["removal"] = {show_removal};
  t["picture"] = {picture};
  t["clearance"] = {clearance};
  t["pick"] = {pick_command};
  t["project"] = {project};
  t["gap_at"] = {gap_under};
}

}  // namespace intercusp
