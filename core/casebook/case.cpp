#include "casebook/case.h"

#include <algorithm>
#include <cmath>

#include "anatomy/proposal_sd.h"
#include "base/sha256.h"
#include "skeleton/midsagittal.h"

namespace intercusp {

namespace {

bool contains(const std::string& text, const char* part) {
  return text.find(part) != std::string::npos;
}

/// Side of a body by its name alone.
std::string side_of_name(const std::string& name) {
  return is_lower_name(name) ? "lower" : is_upper_name(name) ? "upper" : "cranium";
}

std::optional<Vec3> landmark_now(const Case& c, const std::string& name, const SegmentPoses& poses) {
  const auto found = c.landmarks.find(name);
  if (found == c.landmarks.end()) return std::nullopt;
  return pose_of_segment(poses, segment_of_landmark(c, name)) * (c.patient_from_scans * found->second.at);
}

bool turns(const Movement& m) {
  return m.pitch_deg != 0 || m.roll_deg != 0 || m.yaw_deg != 0;
}

/// Whether an entry counts; `lower_moved`: some movement of the lower jaw stands before it.
bool takes_part(const Plan& plan, const PlanEntry& entry, Moment at, bool lower_moved) {
  if (at == Moment::planned) return true;
  const bool lower_first = plan.first_jaw == "lower";
  if (entry.kind == PlanEntry::Kind::closing) return lower_first || !lower_moved;
  return is_lower_name(entry.segment) == lower_first;
}

/// The change of pose that an entry makes of what it moves.
Result<Pose> change_of(const Case& c, const PlanEntry& entry, const SegmentPoses& poses) {
  if (entry.kind == PlanEntry::Kind::closing) {
    const auto axis = hinge_axis(points_at(c, poses), entry.closing.axis);
    if (!axis.ok()) return axis.error();
    return axis.value().opened(entry.closing.open_deg);
  }
  if (!turns(entry.movement)) return pose_of(entry.movement, Vec3::Zero());
  auto pivot = pivot_point(c, entry.segment, entry.about, poses);
  if (!pivot.ok()) return pivot.error();
  return pose_of(entry.movement, pivot.value());
}

}  // namespace

Body make_body(std::string name, SurfacePtr surface) {
  Sha256 sha;
  const Mesh& mesh = surface->mesh();
  if (!mesh.positions.empty()) sha.add(mesh.positions.data(), mesh.positions.size() * sizeof(Vec3f));
  if (!mesh.triangles.empty()) sha.add(mesh.triangles.data(), mesh.triangles.size() * sizeof(Triangle));
  return {std::move(name), std::move(surface), sha.hex()};
}

const Body* Case::find_body(const std::string& name) const {
  const auto found = std::find_if(bodies.begin(), bodies.end(), [&](const Body& b) { return b.name == name; });
  return found == bodies.end() ? nullptr : &*found;
}

const Plan* Case::find_plan(const std::string& name) const {
  const auto found = std::find_if(plans.begin(), plans.end(), [&](const Plan& p) { return p.name == name; });
  return found == plans.end() ? nullptr : &*found;
}

Plan* Case::find_plan(const std::string& name) {
  return const_cast<Plan*>(static_cast<const Case*>(this)->find_plan(name));
}

PlanEntry cut_entry(Osteotomy cut) {
  PlanEntry entry;
  entry.kind = PlanEntry::Kind::cut;
  entry.cut = std::move(cut);
  return entry;
}

PlanEntry closing_entry(Closing closing) {
  PlanEntry entry;
  entry.kind = PlanEntry::Kind::closing;
  entry.closing = std::move(closing);
  return entry;
}

bool is_lower_name(const std::string& name) {
  return contains(name, "lower") || contains(name, "mandib") || contains(name, "ramus") || contains(name, "chin");
}

bool is_upper_name(const std::string& name) {
  return !is_lower_name(name) && (contains(name, "upper") || contains(name, "maxill"));
}

bool holds_roots(const std::string& name) {
  return contains(name, "root") || contains(name, "tooth") || contains(name, "teeth");
}

bool is_dental(const std::string& name) {
  return contains(name, "arch") || holds_roots(name);
}

bool is_upper_bone(const std::string& name) {
  return is_upper_name(name) && !is_dental(name);
}

bool is_lower_bone(const std::string& name) {
  return is_lower_name(name) && !is_dental(name);
}

bool upper_jaw_uncut(const Case& c) {
  return std::any_of(c.bodies.begin(), c.bodies.end(),
                     [](const Body& b) { return b.segment.empty() && is_upper_bone(b.name); });
}

bool operator==(const PlanEntry& a, const PlanEntry& b) {
  if (a.kind != b.kind) return false;
  if (a.kind == PlanEntry::Kind::cut) return a.cut.kind == b.cut.kind && a.cut.settings == b.cut.settings;
  if (a.kind == PlanEntry::Kind::closing)
    return a.closing.open_deg == b.closing.open_deg && a.closing.axis == b.closing.axis &&
           a.closing.until == b.closing.until && a.closing.until_mm == b.closing.until_mm;
  return a.segment == b.segment && a.about == b.about && a.movement == b.movement;
}

bool same_steps(const Plan& a, const Plan& b) {
  return a.first_jaw == b.first_jaw && a.entries == b.entries;
}

JawsMoved jaws_moved(const Plan& plan) {
  JawsMoved moved;
  for (const PlanEntry& entry : plan.entries) {
    if (entry.kind == PlanEntry::Kind::cut) continue;
    const bool of_lower = entry.kind == PlanEntry::Kind::closing || is_lower_name(entry.segment);
    (of_lower ? moved.lower : moved.upper) = true;
  }
  return moved;
}

std::string body_words(std::string name) {
  std::replace(name.begin(), name.end(), '_', ' ');
  return name;
}

std::string segment_of_landmark(const Case& c, const std::string& name) {
  const auto cut = c.cut_landmarks.find(name);
  if (cut != c.cut_landmarks.end()) return cut->second;
  const Jaw jaw = jaw_of_landmark(name);
  return jaw == Jaw::upper ? "upper" : jaw == Jaw::lower ? "lower" : "cranium";
}

std::vector<std::string> moved_with(const std::string& segment) {
  if (segment == "upper" || segment == "maxilla") {
    return {"upper", "maxilla", "maxilla_right", "maxilla_left", "maxilla_front"};
  }
  if (segment == "lower") return {"lower", "mandible", "ramus_right", "ramus_left", "chin"};
  if (segment == "mandible") return {"mandible", "chin"};
  return {segment};
}

std::string segment_of_body(const Case& c, const Body& body) {
  if (!body.segment.empty()) return body.segment;
  const std::string side = side_of_name(body.name);
  return side == "upper" && upper_jaw_uncut(c) ? "cranium" : side;
}

std::vector<std::string> movable_segments(const Case& c) {
  std::vector<std::string> segments;
  for (const char* segment : {"upper", "maxilla", "maxilla_right", "maxilla_left", "maxilla_front", "lower", "mandible",
                              "ramus_right", "ramus_left", "chin"}) {
    const std::vector<std::string> parts = moved_with(segment);
    const bool whole = std::string(segment) == "maxilla" || std::string(segment) == "lower";  // names its pieces too
    const bool here = std::any_of(c.bodies.begin(), c.bodies.end(), [&](const Body& b) {
      const std::string of = segment_of_body(c, b);
      return of == segment || (whole && of != "upper" && std::find(parts.begin(), parts.end(), of) != parts.end());
    });
    if (here) segments.emplace_back(segment);
  }
  return segments;
}

Status can_move(const Case& c, const std::string& segment) {
  if (!c.frame_known) {
    const auto missing = missing_for_occlusal_frame(points_at(c, {}));
    std::string list;
    for (const auto& name : missing) list += (list.empty() ? "" : ", ") + name;
    return Error{"the patient frame is not known yet, so forward and up have no meaning", "", "place " + list};
  }
  if (is_upper_name(segment) && upper_jaw_uncut(c)) {
    return Error{"the upper jaw is still joined to the skull by bone", "", "cut first (Le Fort I)"};
  }
  const auto segments = movable_segments(c);
  if (std::find(segments.begin(), segments.end(), segment) != segments.end()) return Done{};
  if (segment == "mandible" || segment == "chin" || segment.rfind("ramus_", 0) == 0) {
    return Error{"the lower jaw is not cut so that " + segment + " could move", "",
                 segment == "chin" ? "cut first (chin)" : "cut first (sagittal split)"};
  }
  std::string known;
  for (const auto& name : segments) known += (known.empty() ? "" : ", ") + name;
  return Error{"this case has no segment \"" + segment + "\" that can move", "",
               known.empty() ? "add an upper or a lower scan" : "choose one of: " + known};
}

bool settle_frame(Case& c) {
  const bool planned = std::any_of(c.plans.begin(), c.plans.end(), [](const Plan& p) { return !p.entries.empty(); });
  if (planned) return c.frame_known;
  PointMap points;
  for (const auto& [name, landmark] : c.landmarks) points[name] = landmark.at;
  const auto frame = maxillary_occlusal_frame(points);
  if (!frame.ok()) return c.frame_known;
  // With bone the patient frame is the CT's own (DICOM axes); only a case of scans alone takes the occlusal frame.
  const bool has_bone = upper_jaw_uncut(c);
  c.patient_from_scans = has_bone ? Pose::Identity() : patient_from_occlusal(frame.value());
  c.frame_known = true;
  return true;
}

Result<Vec3> pivot_point(const Case& c, const std::string& segment, const std::string& about,
                         const SegmentPoses& poses) {
  if (!about.empty()) {
    if (const auto at = landmark_now(c, about, poses)) return *at;
    return Error{"the pivot " + about + " is not placed", "", "place it or choose another landmark"};
  }
  if (segment == "ramus_right" || segment == "ramus_left") {
    const std::string centre = "condyle_centre" + segment.substr(5);
    if (const auto at = landmark_now(c, centre, poses)) return *at;
    return Error{"the pivot of a ramus is its " + centre + ", which is not placed", "",
                 "place it or name another pivot"};
  }
  const bool lower = is_lower_name(segment);
  const std::string right = lower ? "41.incisal_edge_mid" : "11.incisal_edge_mid";
  const std::string left = lower ? "31.incisal_edge_mid" : "21.incisal_edge_mid";
  const auto a = landmark_now(c, right, poses), b = landmark_now(c, left, poses);
  if (a && b) return Vec3(0.5 * (*a + *b));
  return Error{"the pivot of a turn is the midpoint of " + right + " and " + left + ", and not both are placed", "",
               "place them or name another pivot"};
}

Result<SegmentPoses> segment_poses(const Case& c, const Plan* plan, Moment at) {
  SegmentPoses poses{{"upper", Pose::Identity()}, {"lower", Pose::Identity()}, {"cranium", Pose::Identity()}};
  if (!plan || at == Moment::rest) return poses;
  bool lower_moved = false;
  for (const PlanEntry& entry : plan->entries) {
    if (entry.kind == PlanEntry::Kind::cut) continue;
    const bool closing = entry.kind == PlanEntry::Kind::closing;
    if (takes_part(*plan, entry, at, lower_moved)) {
      const auto change = change_of(c, entry, poses);
      if (!change.ok()) return change.error();
      for (const std::string& moved : moved_with(closing ? "lower" : entry.segment)) {
        Pose& pose = poses.try_emplace(moved, Pose::Identity()).first->second;
        pose = change.value() * pose;
      }
    }
    lower_moved = lower_moved || (!closing && is_lower_name(entry.segment));
  }
  return poses;
}

Pose pose_of_segment(const SegmentPoses& poses, const std::string& segment) {
  const auto found = poses.find(segment);
  return found == poses.end() ? Pose::Identity() : found->second;
}

Pose pose_of_body(const Case& c, const Body& body, const SegmentPoses& poses) {
  return pose_of_segment(poses, segment_of_body(c, body)) * c.patient_from_scans;
}

PointMap points_at(const Case& c, const SegmentPoses& poses) {
  PointMap points;
  for (const auto& [name, landmark] : c.landmarks) {
    points[name] = pose_of_segment(poses, segment_of_landmark(c, name)) * (c.patient_from_scans * landmark.at);
  }
  return points;
}

MeasureInput measure_input(const Case& c, const SegmentPoses& poses) {
  MeasureInput input;
  input.points = points_at(c, poses);
  input.settings = c.measure_settings;
  for (const auto& [name, landmark] : c.landmarks) {
    if (landmark.confirmed || landmark.origin != Landmark::Origin::proposed) continue;
    input.landmark_sd[name] = std::hypot(input.settings.landmark_sd_mm, proposal_sd_mm(landmark.confidence));
  }
  const auto frame = maxillary_occlusal_frame(input.points);
  if (frame.ok()) input.frame = frame.value();
  if (const auto plane = midsagittal_plane(input.points))
    input.midsagittal = std::make_pair(plane->point, plane->normal);
  const auto posed = [&](const char* name) {
    const Body* body = c.find_body(name);
    return body ? PosedSurface{body->surface, pose_of_body(c, *body, poses)} : PosedSurface{};
  };
  input.upper = posed("upper_arch");
  input.lower = posed("lower_arch");
  return input;
}

}  // namespace intercusp
