#include "occlusion/probe.h"

#include <cmath>

#include "occlusion/reading.h"

namespace intercusp {
namespace {

constexpr double kStartInFrontMm = 20.0;
constexpr double kFarthestFromEdgeMm = 6.0;

}  // namespace

std::optional<Vec3> probe_lower_labial(const MeasureInput& input, const Vec3& upper_edge, const Vec3& lower_edge,
                                       int lower_tooth) {
  if (!input.lower.surface || !input.frame) return std::nullopt;
  const OcclusalFrame& frame = *input.frame;
  const double drop = (lower_edge - upper_edge).dot(frame.up);
  if (drop < 0) return std::nullopt;
  const std::string gingival = tooth_point(lower_tooth, "gingival_mid");
  if (has_point(input, gingival) && (upper_edge - point_of(input, gingival)).dot(frame.up) < 0) return std::nullopt;
  const Vec3 level = lower_edge - drop * frame.up;
  const Pose surface_from_patient = input.lower.patient_from_surface.inverse();
  const Vec3 start = surface_from_patient * (level + kStartInFrontMm * frame.forward);
  const Vec3 back = surface_from_patient.linear() * -frame.forward;
  const Surface& surface = *input.lower.surface;
  RayHit hit;
  if (!surface.bvh().ray(surface.mesh(), start, back, kStartInFrontMm + kFarthestFromEdgeMm, hit)) return std::nullopt;
  if (std::abs(hit.t - kStartInFrontMm) > kFarthestFromEdgeMm) return std::nullopt;
  return level + (kStartInFrontMm - hit.t) * frame.forward;
}

}  // namespace intercusp
