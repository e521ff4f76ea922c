#include "app/work/feasibility.h"

#include <cmath>

#include <nlohmann/json.hpp>

#include "app/scene/words.h"
#include "app/view/layout.h"
#include "casebook/cut_case.h"

namespace intercusp {

namespace {

bool plates_overlap(const PlateGap& gap) {
  return gap.gap_mm < -0.05;
}

}  // namespace

const char* clearance_page_name(ClearancePage page) {
  static const char* const names[] = {"in_way", "taken_off", "plates"};
  return names[static_cast<std::size_t>(page)];
}

std::vector<StabilityNote> plan_stability(const Workspace& w) {
  if (!w.current_plan()) return {};
  if (w.moment() == Moment::planned) return stability_notes(extent_of(w.planned(), w.readings.planned_poses()));
  const auto poses = segment_poses(w.planned(), w.current_plan(), Moment::planned);
  return poses ? stability_notes(extent_of(w.planned(), poses.value())) : std::vector<StabilityNote>{};
}

const SurfacePtr& drawn_surface(const Workspace& w, const Body& body) {
  const BonesTrimmed::Bone* cut_back = w.removal.bone(w.readings.version(), body.name);
  return cut_back ? cut_back->ready.surface : body.surface;
}

void bring_up_plates(Workspace& w) {
  if (w.moment() == Moment::rest) return;
  const Plan* plan = w.shown_plan();
  w.plates.refresh(w.errands, w.readings.version(), [&w, plan]() -> std::optional<MeasurePlates> {
    if (!has_cuts(plan)) return std::nullopt;
    return MeasurePlates{w.shown(), plan->name, w.readings.planned_poses()};
  });
}

void bring_up_way(Workspace& w) {
  const Plan* plan = w.shown_plan();
  w.way.refresh(w.errands, way_key(w), [&w, plan]() -> std::optional<WalkTheWay> {
    if (!plan || plan->entries.empty()) return std::nullopt;
    return WalkTheWay{w.shown(), plan->name};
  });
}

WayKey way_key(const Workspace& w) {
  const Plan* plan = w.shown_plan();
  return {w.document.revision(), w.pieces.version(), plan ? plan->name : std::string()};
}

void look_at_plate(Workspace& w, const PlateGap& gap) {
  constexpr double kHalfHeight = 26;  // mm: the site and the teeth below it
  const Vec3& out = gap.site.outward;
  const char* record = std::abs(out.y()) > std::abs(out.x()) ? "front" : out.x() < 0 ? "right" : "left";
  keep_looking_place(w);
  View& v = w.views[w.active_view];
  v.shown = Shown::all;
  Camera c = camera_for(w, v, record);
  c.target = gap.reference_screw ? gap.reference_screw->entry : gap.site.anchor;
  c.half_height_mm = kHalfHeight;
  v.record.clear();
  w.section = {};
  glide_to(w, w.active_view, c);
}

bool plate_fits(const PlateGap& gap) {
  return gap.facing && !plates_overlap(gap) && plate_remarks(gap).empty();
}

std::string plate_gap_words(const PlateGap& gap) {
  if (!gap.facing) return "nothing opposite";
  if (plates_overlap(gap)) return "overlap " + amount(-gap.gap_mm, 1) + " mm";
  return "gap " + amount(std::max(0.0, gap.gap_mm), 1) + " mm";
}

std::string plate_step_words(const PlateGap& gap) {
  if (!gap.facing) return "";
  const std::string size = amount(std::abs(gap.step_mm), 1);
  return size == "0.0" ? "no step" : "step " + size + " mm " + (gap.step_mm > 0 ? "out" : "in");
}

const char* screw_side(const PlateGap& gap, bool reference) {
  if (gap.site.id.rfind("split", 0) == 0) return reference ? "behind" : "in front";
  return reference ? "above" : "below";
}

nlohmann::json removal_json(const Workspace& w) {
  nlohmann::json out = {{"clearance_mm", w.removal.clearance_mm},
                        {"shown", w.removal.shown(w.readings.version()) != nullptr},
                        {"bones", nlohmann::json::array()}};
  const BonesTrimmed* made = w.removal.at(w.readings.version());
  if (!made) return out;
  out["made_with_mm"] = made->clearance_mm;
  for (const BonesTrimmed::Bone& bone : made->bones)
    out["bones"].push_back({{"body", bone.body},
                            {"others", bone.others},
                            {"removed_mm3", bone.removed_mm3},
                            {"left_mm", bone.left_mm},
                            {"gap_mm", bone.gap_mm}});
  return out;
}

}  // namespace intercusp
