#include <algorithm>

#include "app/widgets/widgets.h"
#include "app/work/class_work.h"
#include "app/work/feasibility.h"
#include "app/work/practice.h"
#include "app/work/review.h"
#include "app/work/ruler.h"
#include "app/work/seated_jaw.h"
#include "app/work/splint.h"
#include "app/work/stops.h"
#include "app/work/surface_notes.h"
#include "app/work/view_json.h"
#include "casebook/case_json.h"
#include "casebook/face_plan.h"
#include "surgery/movement_note.h"

namespace intercusp {

namespace {

nlohmann::json pose_json(const Pose& pose) {
  nlohmann::json rows = nlohmann::json::array();
  const Eigen::Matrix4d m = pose.matrix();
  for (int r = 0; r < 4; ++r) rows.push_back({m(r, 0), m(r, 1), m(r, 2), m(r, 3)});
  return rows;
}

nlohmann::json entries_json(const Plan* plan) {
  nlohmann::json list = nlohmann::json::array();
  if (!plan) return list;
  for (const PlanEntry& e : plan->entries) {
    if (e.kind == PlanEntry::Kind::cut) {
      list.push_back({{"cut", cut_kind_name(e.cut.kind)}, {"settings", e.cut.settings}});
      continue;
    }
    if (e.kind == PlanEntry::Kind::closing) {
      list.push_back({{"closing", {{"open_deg", e.closing.open_deg}, {"axis", e.closing.axis}}}});
      continue;
    }
    nlohmann::json row = movement_to_json(e.movement);
    row["segment"] = e.segment;
    row["about"] = e.about;
    row["words"] = movement_words(e.movement);
    list.push_back(std::move(row));
  }
  return list;
}

nlohmann::json case_json(const Workspace& w) {
  nlohmann::json bodies = nlohmann::json::array();
  for (const Body& b : w.now().bodies)
    if (b.surface)
      bodies.push_back(
          {{"name", b.name}, {"triangles", b.surface->mesh().triangles.size()}, {"findings", findings_of(w, b)}});
  nlohmann::json placed = nlohmann::json::array(), plans = nlohmann::json::array();
  nlohmann::json sources = nlohmann::json::object();
  for (const auto& [name, mark] : w.now().landmarks) {
    placed.push_back(name);
    if (mark.origin != Landmark::Origin::unknown || mark.confidence < 1)
      sources[name] = {{"origin", origin_name(mark.origin)}, {"confidence", mark.confidence}};
  }
  for (const Plan& p : w.now().plans) plans.push_back(p.name);
  return {{"id", w.now().id},
          {"bodies", bodies},
          {"landmarks", placed},
          {"sources", sources},
          {"missing", missing_landmarks(w)},
          {"doubtful", points_in_doubt(w)},
          {"plans", plans},
          {"frame_known", w.now().frame_known}};
}

nlohmann::json widgets_json(float scale) {
  nlohmann::json map = nlohmann::json::object();
  for (const auto& [id, r] : ui::widget_map()) map[id] = {r.x / scale, r.y / scale, r.w / scale, r.h / scale};
  return map;
}

nlohmann::json texts_json(float scale) {
  nlohmann::json list = nlohmann::json::array();
  for (const ui::TextMark& mark : ui::text_log()) {
    const Rect& r = mark.rect;
    list.push_back({{"words", mark.words}, {"rect", {r.x / scale, r.y / scale, r.w / scale, r.h / scale}}});
  }
  return list;
}

nlohmann::json views_json(const Workspace& w, float scale) {
  nlohmann::json list = nlohmann::json::array();
  for (const View& v : w.views)
    list.push_back({{"camera", camera_json(v.camera)},
                    {"record", v.record},
                    {"rect", {v.rect.x / scale, v.rect.y / scale, v.rect.w / scale, v.rect.h / scale}}});
  return list;
}

nlohmann::json clearance_json(const Workspace& w) {
  nlohmann::json list = nlohmann::json::array();
  for (const ClearanceRow& r : w.contacts.clearance())
    list.push_back({{"site", r.site},
                    {"depth_mm", r.depth_mm},
                    {"planned", r.planned},
                    {"thickness_mm", r.thickness_mm},
                    {"touches", r.touches},
                    {"about", r.about},
                    {"at", {r.at.x(), r.at.y(), r.at.z()}}});
  return list;
}

}  // namespace

nlohmann::json state_json(const Workspace& w, float scale) {
  nlohmann::json s = {
      {"ready", w.has_case}, {"stop", stop_name(w.stop)}, {"layout", w.layout}, {"theme", w.theme_choice}};
  s["views"] = views_json(w, scale);
  s["camera"] = camera_json(w.views[w.active_view].camera);
  s["widgets"] = widgets_json(scale);
  s["focus"] = ui::focused_control();
  s["texts"] = texts_json(scale);
  s["frames"] = {{"drawn", w.frames_drawn},
                 {"scenes", w.scenes_drawn},
                 {"last_scene_ms", w.last_scene_ms},
                 {"contact_ms", w.contacts.last_ms()}};
  nlohmann::json messages = nlohmann::json::array();
  for (const Message& m : w.messages)
    messages.push_back({{"what", m.what}, {"meaning", m.meaning}, {"remedy", m.remedy}});
  s["messages"] = messages;
  if (!w.errands.words().empty()) s["doing"] = {{"words", w.errands.words()}, {"fraction", w.errands.fraction()}};
  s["units_question"] = w.waiting_scan ? nlohmann::json(w.waiting_scan->body) : nlohmann::json();
  if (w.practice) s["practice"] = practice_json(w);
  if (w.class_open) s["class"] = class_json(w);
  if (w.review) s["review"] = review_json(w);
  if (!w.has_case) return s;
  s["case"] = case_json(w);
  s["plan"] = w.plan;
  if (const Plan* plan = w.current_plan()) {
    const JawsMoved moved = jaws_moved(*plan);
    s["staging"] = {{"first", plan->first_jaw}, {"upper_moves", moved.upper}, {"lower_moves", moved.lower}};
  }
  s["moment"] = moment_name(w.moment());
  for (const Body& b : w.planned().bodies)
    s["pieces"].push_back({{"name", b.name}, {"segment", segment_of_body(w.planned(), b)}});
  s["segments"] = movable_segments(w.planned());
  s["cuts"] = {{"waiting", w.pieces.waiting()}, {"trouble", w.pieces.trouble()}};
  s["entries"] = entries_json(w.current_plan());
  for (const auto& [segment, pose] : w.readings.now().poses) s["poses"][segment] = pose_json(pose);
  s["seating"] = {{"offers", w.seating.offers.size()},
                  {"taken", w.seating.taken},
                  {"moves", seated_jaw(w)},
                  {"can_move", seated_jaws(w)}};
  s["splint"] = splint_json(w);
  s["selection"] = {{"segment", w.segment},
                    {"measure", w.explained},
                    {"landmark", w.landmark_wanted},
                    {"clearance", w.chosen_clearance},
                    {"plate", w.chosen_plate}};
  s["clearance"] = clearance_json(w);
  if (w.tool == Tool::rule) s["ruler"] = ruler_json(w);
  s["section"] = {{"on", w.section.on}, {"axis", w.section.axis}, {"place_mm", w.section.place_mm}};
  if (w.has_case && !w.now().face.empty()) s["face"] = face_report(w.shown(), w.readings.planned_poses())["face"];
  s["zones"] = nlohmann::json::array();
  for (const PaintedZone& zone : w.zones.all())
    s["zones"].push_back(
        {{"body", zone.zone.body},
         {"vertices", std::count(zone.painted.begin(), zone.painted.end(), static_cast<std::uint8_t>(1))},
         {"area_mm2", zone.area_mm2}});
  s["removal"] = w.trimmed;
  s["clearance_page"] = clearance_page_name(w.clearance_page);
  s["bone_removal"] = removal_json(w);
  s["plates"] = s["stability"] = s["on_the_way"] = nlohmann::json::array();
  if (w.plates.of(w.readings.version()))
    for (const PlateGap& gap : w.plates.found()) s["plates"].push_back(plate_row(gap));
  if (w.moment() != Moment::rest && w.way.of(way_key(w)))
    for (const PathOverlap& way : w.way.found()) s["on_the_way"].push_back(way_row(way));
  for (const StabilityNote& note : plan_stability(w)) s["stability"].push_back(stability_row(note));
  s["guide"] = w.guide;
  s["contact_map"] = {{"on", w.gap.on}, {"limit_mm", w.gap.limit_mm}};
  s["history"] = w.document.history();
  s["beside"] = w.beside.report ? *w.beside.report : nlohmann::json();
  s["can_undo"] = w.document.can_undo();
  s["can_redo"] = w.document.can_redo();
  return s;
}

}  // namespace intercusp
