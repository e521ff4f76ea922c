// Commands on plans and movements.
#include <algorithm>

#include "app/scene/movement_part.h"
#include "app/scene/note_quantities.h"
#include "app/work/command_table.h"
#include "base/json_read.h"
#include "casebook/reports.h"
#include "surgery/movement_note.h"

namespace intercusp {

namespace {

constexpr const char* kQuantities[] = {"forward", "up", "left", "pitch", "roll", "yaw"};
constexpr double kFarthestMoveMm = 60, kMostTurnDeg = 60;

Status within_reach(const Movement& m) {
  const double mm = std::max({std::abs(m.forward_mm), std::abs(m.up_mm), std::abs(m.left_mm)});
  const double deg = std::max({std::abs(m.pitch_deg), std::abs(m.roll_deg), std::abs(m.yaw_deg)});
  if (mm <= kFarthestMoveMm && deg <= kMostTurnDeg) return Done{};
  return Error{"a jaw does not move that far", "", "stay within 60 mm and 60 degrees"};
}

NoteEdit note_edit(const Workspace& w, const EditedMovement& edited, const std::string& segment) {
  NoteEdit edit{w.readings.start().points, edited, segment, {}};
  for (const auto& [id, on] : w.locked)
    if (on) edit.locked.insert(id);
  return edit;
}

// Puts a movement into the document; `merge` joins steps of one drag.
Result<Json> put(Workspace& w, const std::string& segment, const Movement& m, const std::string& about,
                 const std::string& merge) {
  const Status fits = within_reach(m);
  if (!fits) return fits.error();
  std::string plan = w.plan;
  auto next = with_movement(w.now(), w.planned(), plan, segment, m, about);
  if (!next) return next.error();
  w.plan = plan;
  w.held = Moment::planned;
  w.segment = segment;
  const std::string words = segment_words(segment) + ": " + movement_words(m);
  w.document.change(std::move(next.value()), words, merge.empty() ? "" : "move." + segment + "." + merge);
  w.refresh();
  return Json{{"plan", plan}, {"words", words}};
}

// The movement of a segment, once the bone is in pieces.
Result<EditedMovement> edited_of(const Workspace& w, const std::string& segment) {
  const Status ready = w.pieces_ready();
  if (!ready && (w.pieces.waiting() || !can_move(w.planned(), segment))) return ready.error();
  return edited_movement(w.planned(), w.plan, segment);
}

std::string segment_of(const Workspace& w, const Json& args) {
  return text_at(args, "segment").value_or(w.segment);
}

Result<Json> set_movement(Workspace& w, const Json& args) {
  const std::string segment = segment_of(w, args);
  const auto edited = edited_of(w, segment);
  if (!edited) return edited.error();
  Movement m = edited.value().movement;
  for (const char* name : kQuantities) {
    const auto v = number_at(args, name);
    if (!v) continue;
    movement_part(m, name) = *v;
    auto kept = movement_within_locks(note_edit(w, edited.value(), segment), m, name);
    if (!kept) return kept.error();
    m = kept.value();
  }
  return put(w, segment, m, edited.value().about, text_at(args, "merge").value_or(""));
}

// A movement on top of what stands, in the same entry.
Result<Json> move(Workspace& w, const Json& args) {
  const auto edited = edited_of(w, segment_of(w, args));
  if (!edited) return edited.error();
  Movement m = edited.value().movement;
  Json set = args;
  for (const char* name : kQuantities)
    if (const auto v = number_at(args, name)) set[name] = movement_part(m, name) + *v;
  return set_movement(w, set);
}

Result<Json> nudge(Workspace& w, const Json& args) {
  const std::string quantity = text_at(args, "quantity").value_or("forward");
  if (std::find(std::begin(kQuantities), std::end(kQuantities), quantity) == std::end(kQuantities))
    return Error{"\"" + quantity + "\" is not one of the six quantities", "",
                 "use forward, up, left, pitch, roll or yaw"};
  const bool angle = quantity == "pitch" || quantity == "roll" || quantity == "yaw";
  const double step = (angle ? w.nudge_deg : w.nudge_mm) * number_at(args, "steps").value_or(1);
  return move(w, {{"segment", segment_of(w, args)}, {quantity, step}, {"merge", "nudge." + quantity}});
}

// One quantity of the note: {"id","value"}.
Result<Json> set_quantity(Workspace& w, const Json& args) {
  const std::string segment = segment_of(w, args), id = text_at(args, "id").value_or("");
  const auto value = number_at(args, "value");
  if (!value) return Error{"no value", "set_quantity", ""};
  const auto edited = edited_of(w, segment);
  if (!edited) return edited.error();
  auto m = movement_with_quantity(note_edit(w, edited.value(), segment), id, *value);
  if (!m) return m.error();
  return put(w, segment, m.value(), edited.value().about, text_at(args, "merge").value_or(""));
}

// The whole note as text.
Result<Json> set_note(Workspace& w, const Json& args) {
  const std::string segment = segment_of(w, args), text = text_at(args, "text").value_or("");
  const PointMap before = note_points(w.readings.start().points, is_lower_name(segment) ? Jaw::lower : Jaw::upper);
  auto note = parse_movement_note(text, before);
  if (!note) return note.error();
  const auto edited = edited_of(w, segment);
  if (!edited) return edited.error();
  if (edited.value().earlier > 0)
    return Error{"this jaw has earlier movements in the plan", "",
                 "type the note in a new plan, or change the last movement by its numbers"};
  auto m = solve_movement(before, edited.value().pivot, note.value().targets, note.value().fixed);
  if (!m) return m.error();
  return put(w, segment, m.value(), edited.value().about, "");
}

// Another pivot for the same place of the jaw.
Result<Json> pivot(Workspace& w, const Json& args) {
  const std::string segment = segment_of(w, args), about = text_at(args, "about").value_or("");
  const auto edited = edited_of(w, segment);
  if (!edited) return edited.error();
  const auto at = pivot_point(w.planned(), segment, about, edited.value().before);
  if (!at) return at.error();
  const Pose change = pose_of(edited.value().movement, edited.value().pivot);
  return put(w, segment, movement_of(change, at.value()), about, "");
}

// The next click on a landmark's dot makes it the pivot.
Result<Json> pick_pivot(Workspace& w, const Json& args) {
  const bool on = flag_at(args, "on").value_or(w.tool != Tool::choose_pivot);
  w.tool = on ? Tool::choose_pivot : Tool::turn;
  return Json{{"on", on}};
}

Result<Json> reset(Workspace& w, const Json& args) {
  Plan* found = nullptr;
  Case next = w.now();
  if (!w.plan.empty()) found = next.find_plan(w.plan);
  if (!found) return nothing();
  const std::string segment = text_at(args, "segment").value_or("");
  auto& entries = found->entries;
  entries.erase(std::remove_if(entries.begin(), entries.end(),
                               [&](const PlanEntry& e) { return segment.empty() || e.segment == segment; }),
                entries.end());
  w.document.change(std::move(next),
                    "Set " + (segment.empty() ? "the plan" : segment_words(segment)) + " back to the start");
  return nothing();
}

Result<Json> new_plan(Workspace& w, const Json& args) {
  Case next = w.now();
  const std::string name = text_at(args, "name").value_or(next_plan_name(next));
  if (name.empty() || next.find_plan(name))
    return Error{"there is a plan \"" + name + "\" already", "", "choose another name"};
  const Plan* from = w.current_plan();
  Plan made = from && flag_at(args, "copy").value_or(false) ? *from : Plan{};
  made.name = name;
  next.plans.push_back(made);
  w.document.change(std::move(next), "Made plan " + name);
  w.plan = name;
  w.held = Moment::planned;
  return Json{{"plan", name}};
}

Result<Json> choose_plan(Workspace& w, const Json& args) {
  const std::string name = text_at(args, "name").value_or("");
  if (!w.now().find_plan(name)) return Error{"there is no plan \"" + name + "\"", "", ""};
  w.plan = name;
  w.held = Moment::planned;
  return nothing();
}

Result<Json> segment(Workspace& w, const Json& args) {
  const std::string name = text_at(args, "name").value_or("");
  const Status may = can_move(w.planned(), name);
  if (!may) return may.error();
  w.segment = name;
  w.locked.clear();
  return nothing();
}

Result<Json> compare(Workspace& w, const Json& args) {
  const std::string shown = text_at(args, "shown").value_or("");
  if (!shown.empty() && shown != "start" && shown != "between" && shown != "plan")
    return Error{"\"" + shown + "\" is no position of a plan", "", "use start, between or plan"};
  const bool start = shown.empty() ? flag_at(args, "start").value_or(w.held != Moment::rest) : shown == "start";
  w.held = shown == "between" ? Moment::intermediate : start ? Moment::rest : Moment::planned;
  if (shown == "between" && w.moment() != Moment::intermediate) {
    w.held = Moment::planned;
    return Error{"nothing stands in between", "", "a plan that moves both jaws has a position in between"};
  }
  return Json{{"start", w.held == Moment::rest}, {"moment", moment_name(w.moment())}};
}

Result<Json> lock(Workspace& w, const Json& args) {
  const std::string id = text_at(args, "id").value_or("");
  w.locked[id] = flag_at(args, "on").value_or(!w.locked[id]);
  return Json{{"on", w.locked[id]}};
}

// Which jaw moves first, and so what stands in the intermediate position.
Result<Json> staging(Workspace& w, const Json& args) {
  const std::string first = text_at(args, "first").value_or("");
  if (first != "upper" && first != "lower") return Error{"no jaw moves first", "", "give first: upper or lower"};
  const Plan* stands = w.current_plan();
  if (stands && stands->first_jaw == first) return Json{{"first", first}};
  Case next = w.now();
  if (!stands) {
    w.plan = next_plan_name(next);
    next.plans.push_back(Plan{w.plan, {}, "upper"});
  }
  next.find_plan(w.plan)->first_jaw = first;
  w.document.change(std::move(next), std::string(first == "upper" ? "Upper" : "Lower") + " jaw first");
  return Json{{"first", first}};
}

Result<Json> set_step(Workspace& w, const Json& args) {
  w.nudge_mm = std::clamp(number_at(args, "mm").value_or(w.nudge_mm), 0.05, 5.0);
  w.nudge_deg = std::clamp(number_at(args, "deg").value_or(w.nudge_deg), 0.05, 5.0);
  return nothing();
}

}  // namespace

void add_plan_commands(std::map<std::string, Command>& t) {
  t["set_movement"] = {set_movement};
  t["move"] = {move};
  t["nudge"] = {nudge};
  t["set_quantity"] = {set_quantity};
  t["set_note"] = {set_note};
  t["pivot"] = {pivot};
  t["pick_pivot"] = {pick_pivot};
  t["reset"] = {reset};
  t["new_plan"] = {new_plan};
  t["choose_plan"] = {choose_plan};
  t["segment"] = {segment};
  t["compare"] = {compare};
  t["lock"] = {lock};
  t["staging"] = {staging};
  t["step"] = {set_step};
}

}  // namespace intercusp
