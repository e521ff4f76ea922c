#include "app/scene/note_quantities.h"

#include <cmath>
#include <cstdio>
#include <map>

#include "app/scene/movement_part.h"
#include "surgery/movement_note.h"

namespace intercusp {

namespace {

PointMap points_of_note(const PointMap& points, const std::string& segment) {
  return note_points(points, is_lower_name(segment) ? Jaw::lower : Jaw::upper);
}

struct LandmarkQuantity {
  const char* id;
  const char* point;
  int axis;  // 0 forward, 1 up, 2 left
  const char* positive;
  const char* negative;
};

constexpr LandmarkQuantity kLandmarkQuantities[] = {
    {"forward", "incisors", 0, "forward", "back"},
    {"up_incisors", "incisors", 1, "up at the incisors", "down at the incisors"},
    {"up_molar_right", "molar_right", 1, "up at the right molar", "down at the right molar"},
    {"up_molar_left", "molar_left", 1, "up at the left molar", "down at the left molar"},
    {"midline", "incisors", 2, "to the patient's left", "to the patient's right"}};

double along(const Vec3& d, int axis) {
  return axis == 0 ? -d.y() : axis == 1 ? d.z() : d.x();
}

void ask(MovementTarget& target, int axis, double value) {
  (axis == 0 ? target.forward_mm : axis == 1 ? target.up_mm : target.left_mm) = value;
}

PointMap moved(const PointMap& points, const Pose& by) {
  PointMap out;
  for (const auto& [name, at] : points) out[name] = by * at;
  return out;
}

}  // namespace

std::string segment_words(const std::string& segment) {
  if (segment == "upper") return "Upper jaw";
  if (segment == "lower") return "Lower jaw";
  static const std::map<std::string, const char*> pieces = {{"maxilla", "Upper jaw"},
                                                            {"maxilla_right", "Upper jaw, right piece"},
                                                            {"maxilla_left", "Upper jaw, left piece"},
                                                            {"maxilla_front", "Upper jaw, front piece"},
                                                            {"mandible", "Distal segment"},
                                                            {"ramus_right", "Right ramus"},
                                                            {"ramus_left", "Left ramus"},
                                                            {"chin", "Chin"}};
  const auto found = pieces.find(segment);
  return found == pieces.end() ? segment : found->second;
}

bool segment_has_note(const std::string& segment) {
  return segment == "upper" || segment == "lower" || segment == "maxilla" || segment == "mandible";
}

std::vector<NoteQuantity> note_quantities(const PointMap& start, const PointMap& now, const Pose& change,
                                          const std::string& segment) {
  const PointMap a = points_of_note(start, segment), b = points_of_note(now, segment);
  std::vector<NoteQuantity> out;
  for (const LandmarkQuantity& q : kLandmarkQuantities) {
    const auto from = a.find(q.point), to = b.find(q.point);
    const bool known = from != a.end() && to != b.end();
    out.push_back({q.id, known ? along(to->second - from->second, q.axis) : 0, "mm", q.positive, q.negative, known});
  }
  const Angles t = angles_of(change.linear());
  out.push_back({"pitch", t.pitch_deg, "deg", "pitch, front up", "pitch, front down", true});
  out.push_back({"roll", t.roll_deg, "deg", "roll, left side down", "roll, right side down", true});
  out.push_back(
      {"yaw", t.yaw_deg, "deg", "yaw, front to the patient's left", "yaw, front to the patient's right", true});
  return out;
}

std::string quantity_words(const NoteQuantity& q) {
  const double shown = std::round(std::abs(q.value) * 10) / 10;
  char number[32];
  std::snprintf(number, sizeof number, q.unit == "mm" ? "%.1f mm " : "%.1f\xC2\xB0 ", shown);
  return number + (q.value < 0 && shown > 0 ? q.negative : q.positive);
}

Result<Movement> movement_with_quantity(const NoteEdit& edit, const std::string& id, double value) {
  const EditedMovement& e = edit.edited;
  if (id == "pitch" || id == "roll" || id == "yaw") {
    Movement wanted = e.movement;
    movement_part(wanted, id) = value;
    return movement_within_locks(edit, wanted, id);
  }
  const Pose before = pose_of_segment(e.before, edit.segment);
  const PointMap start = points_of_note(edit.start, edit.segment), from = moved(start, before);
  const PointMap to = moved(from, pose_of(e.movement, e.pivot));
  std::vector<MovementTarget> targets;
  for (const LandmarkQuantity& q : kLandmarkQuantities) {
    const auto s = start.find(q.point);
    if (s == start.end()) continue;
    const double keep = along(to.at(q.point) - s->second, q.axis);
    const double shift = along(from.at(q.point) - s->second, q.axis);  // what earlier entries did already
    MovementTarget target{q.point, {}, {}, {}};
    ask(target, q.axis, (q.id == id ? value : keep) - shift);
    targets.push_back(target);
  }
  FixedQuantities fixed;
  fixed.yaw_deg = e.movement.yaw_deg;
  return solve_movement(from, e.pivot, targets, fixed);
}

Result<Movement> movement_within_locks(const NoteEdit& edit, const Movement& wanted, const std::string& changed) {
  const EditedMovement& e = edit.edited;
  const Pose before = pose_of_segment(e.before, edit.segment);
  const PointMap start = points_of_note(edit.start, edit.segment), from = moved(start, before);
  const PointMap to = moved(from, pose_of(e.movement, e.pivot));
  std::vector<MovementTarget> targets;
  for (const LandmarkQuantity& q : kLandmarkQuantities) {
    if (!edit.locked.count(q.id) || q.id == changed || !start.count(q.point)) continue;
    MovementTarget target{q.point, {}, {}, {}};
    ask(target, q.axis, along(to.at(q.point) - from.at(q.point), q.axis));
    targets.push_back(target);
  }
  Movement copy = wanted;
  if (targets.empty()) return copy;
  FixedQuantities fixed;
  const double value = movement_part(copy, changed);
  if (changed == "forward") fixed.forward_mm = value;
  if (changed == "up") fixed.up_mm = value;
  if (changed == "left") fixed.left_mm = value;
  if (changed == "pitch") fixed.pitch_deg = value;
  if (changed == "roll") fixed.roll_deg = value;
  if (changed == "yaw") fixed.yaw_deg = value;
  for (const char* angle : {"pitch", "roll", "yaw"}) {
    if (changed == angle || !edit.locked.count(angle)) continue;
    const double kept = movement_part(copy, angle);
    (std::string(angle) == "pitch"  ? fixed.pitch_deg
     : std::string(angle) == "roll" ? fixed.roll_deg
                                    : fixed.yaw_deg) = kept;
  }
  return solve_movement(from, e.pivot, targets, fixed);
}

}  // namespace intercusp
