#include "casebook/achieved.h"

#include <algorithm>
#include <cmath>

#include "geometry/registration.h"

namespace intercusp {

namespace {

constexpr double kLiesMm = 0.5;       // a residual above this is no fit: another patient, or another part of him
constexpr std::size_t kFewest = 3;    // landmarks that fix a pose
constexpr double kNearReachMm = 1.5;  // of the last rounds, once the surfaces lie on each other

/// The body of the achieved case that holds this one: of its own name, or of the body that it was cut from.
const Body* counterpart(const Case& achieved, const Body& body) {
  if (const Body* same = achieved.find_body(body.name)) return same;
  if (is_dental(body.name)) {
    const char* arch = is_upper_name(body.name) ? "upper_arch" : is_lower_name(body.name) ? "lower_arch" : "";
    return body.name.rfind(arch, 0) == 0 ? achieved.find_body(arch) : nullptr;
  }
  const auto of_jaw = is_lower_bone(body.name) ? is_lower_bone : is_upper_bone;
  const auto bone =
      std::find_if(achieved.bodies.begin(), achieved.bodies.end(), [&](const Body& b) { return of_jaw(b.name); });
  return bone == achieved.bodies.end() ? nullptr : &*bone;
}

/// achieved scan <- planned scan, from the landmarks that both have on this segment.
std::optional<Pose> pose_by_landmarks(const Case& planned, const std::string& segment, const Case& achieved) {
  std::vector<Vec3> from, to;
  for (const auto& [name, landmark] : planned.landmarks) {
    const auto found = achieved.landmarks.find(name);
    if (found == achieved.landmarks.end() || segment_of_landmark(planned, name) != segment) continue;
    from.push_back(landmark.at);
    to.push_back(found->second.at);
  }
  if (from.size() < kFewest) return std::nullopt;
  const auto fit = fit_landmarks(from, to);
  return fit.ok() ? std::optional<Pose>(fit.value().motion) : std::nullopt;
}

struct Found {
  Pose motion = Pose::Identity();  ///< achieved scan <- planned scan at rest
  double rms_mm = 0;
};

Result<Found> find_body_again(const Case& planned, const Body& body, const Case& achieved, const Progress& progress) {
  const Body* other = counterpart(achieved, body);
  if (!other || !other->surface)
    return Error{body.name + " has no counterpart", "the case scanned afterwards", "bring that surface in as well"};
  const auto start = pose_by_landmarks(planned, segment_of_body(planned, body), achieved);
  RegistrationSettings settings;
  auto laid = register_surfaces(*body.surface, *other->surface, start.value_or(Pose::Identity()), settings, progress);
  if (laid.ok()) {
    settings.reach_mm = kNearReachMm;
    auto nearer = register_surfaces(*body.surface, *other->surface, laid.value().motion, settings, progress);
    if (nearer.ok()) laid = std::move(nearer);
  }
  if (laid.ok() && laid.value().rms_mm <= kLiesMm) return Found{laid.value().motion, laid.value().rms_mm};
  if (progress.cancelled()) return Error{"stopped", "", "begin again"};
  return Error{body.name + " does not lie on " + other->name + " of the case scanned afterwards",
               "the case scanned afterwards",
               start ? "look whether both are the same patient and the same teeth"
                     : "place at least three landmarks of that jaw in it, the same as in the planned case"};
}

/// What the operation left where it was: the largest part of the skull above the cuts, else the whole upper teeth.
const Body* body_to_lay_on(const Case& planned, const Case& achieved) {
  const Body* best = nullptr;
  for (const Body& body : planned.bodies) {
    if (!body.surface || is_dental(body.name) || segment_of_body(planned, body) != "cranium") continue;
    if (!counterpart(achieved, body)) continue;
    const auto size = [](const Body& b) { return b.surface->mesh().triangles.size(); };
    if (!best || size(body) > size(*best)) best = &body;
  }
  return best ? best : planned.find_body("upper_arch");
}

/// One body a segment: the teeth, which tell most; bone where it has none.
std::vector<const Body*> bodies_to_find(const Case& planned, const Body& reference) {
  std::map<std::string, const Body*> of_segment;
  for (const Body& body : planned.bodies) {
    if (!body.surface || holds_roots(body.name)) continue;
    const std::string segment = segment_of_body(planned, body);
    if (segment == "cranium" || segment == segment_of_body(planned, reference)) continue;
    const Body*& chosen = of_segment[segment];
    if (!chosen || (is_dental(body.name) && !is_dental(chosen->name))) chosen = &body;
  }
  std::vector<const Body*> out;
  for (const auto& [segment, body] : of_segment) out.push_back(body);
  return out;
}

double farthest(const Body& body, const Pose& a, const Pose& b) {
  double most = 0;
  for (const auto& p : body.surface->mesh().positions) {
    const Vec3 at = p.cast<double>();
    most = std::max(most, (a * at - b * at).squaredNorm());
  }
  return std::sqrt(most);
}

Result<AchievedSegment> compare_segment(const Case& planned, const Body& body, const SegmentPoses& poses,
                                        const Found& found, const Pose& patient_from_achieved) {
  AchievedSegment s;
  s.segment = segment_of_body(planned, body);
  s.body = body.name;
  s.residual_mm = found.rms_mm;
  const Pose& scans = planned.patient_from_scans;
  const Pose plan = pose_of_segment(poses, s.segment);
  s.pose = patient_from_achieved * found.motion * scans.inverse();
  const auto rest = pivot_point(planned, s.segment, "", {}), there = pivot_point(planned, s.segment, "", poses);
  if (!rest) return rest.error();
  s.planned = movement_of(plan, rest.value());
  s.achieved = movement_of(s.pose, rest.value());
  s.difference = movement_of(s.pose * plan.inverse(), there.value());
  s.largest_mm = farthest(body, plan * scans, s.pose * scans);
  return s;
}

}  // namespace

Result<Achieved> find_achieved(const Case& planned, const SegmentPoses& poses, const Case& achieved,
                               const Progress& progress) {
  const Body* reference = body_to_lay_on(planned, achieved);
  if (!reference)
    return Error{"there is nothing to lay the two cases on", "the planned case",
                 "it needs the upper arch or the skull"};
  const auto laid = find_body_again(planned, *reference, achieved, progress);
  if (!laid) return laid.error();
  Achieved out;
  out.laid_on = reference->name;
  out.residual_mm = laid.value().rms_mm;
  out.poses = poses;
  // The reference stands where the plan has it.
  const Pose patient_from_achieved = pose_of_segment(poses, segment_of_body(planned, *reference)) *
                                     planned.patient_from_scans * laid.value().motion.inverse();
  for (const Body* body : bodies_to_find(planned, *reference)) {
    const auto found = find_body_again(planned, *body, achieved, progress);
    if (progress.cancelled()) return found.error();
    if (!found) {
      out.not_compared.push_back(found.error().sentence());
      continue;
    }
    auto segment = compare_segment(planned, *body, poses, found.value(), patient_from_achieved);
    if (!segment) return segment.error();
    out.poses[segment.value().segment] = segment.value().pose;
    out.segments.push_back(std::move(segment).value());
  }
  return out;
}

}  // namespace intercusp
