#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geometry/surface.h"

namespace intercusp {

/// What a contact query looks for. All in mm.
struct ContactSettings {
  double band_mm = 3.0;           ///< vertices farther than this from the other body get NaN
  double contact_mm = 0.05;       ///< gap at or below which surfaces count as touching
  double near_contact_mm = 0.35;  ///< gap at or below which they count as nearly touching
  bool all_inside = false;        ///< vertices inside the other body get their gaps however deep they lie
  /// The answer comes sooner where depths of regions may be too small by so much, and the minimum distance too large by
  /// as much and by so great a share of it.
  double off_mm = 0, nearest_off_share = 0;
};

/// A connected place where the two bodies overlap. Points and directions in the common (patient) frame.
struct OverlapRegion {
  double deepest_mm = 0;             ///< positive; depth of the deepest point below the other surface
  Vec3 at = Vec3::Zero();            ///< the deepest point
  Vec3 direction = Vec3::UnitZ();    ///< unit; how the *first* body must move to come free
  std::optional<double> volume_mm3;  ///< empty where an open body does not define it
  double area_mm2 = 0;               ///< area of the first body's surface inside the second
};

/// A connected place where the gap is at or below `contact_mm` (overlapping places included, gap negative there).
struct ContactPatch {
  Vec3 at = Vec3::Zero();  ///< place of least gap, on the first body
  double gap_mm = 0;       ///< least gap; negative = overlap
  double area_mm2 = 0;     ///< on the first body
};

struct ContactResult {
  double minimum_distance_mm = 0;  ///< 0 for overlapping bodies; +infinity when none found within the search
  Vec3 nearest_first = Vec3::Zero(), nearest_second = Vec3::Zero();  ///< |difference| = minimum distance
  std::optional<double> overlap_volume_mm3;
  double volume_error_mm3 = 0;         ///< the volume differs from that of the stored triangles by no more (rounding)
  std::string volume_why;              ///< why the volume is empty, for a person
  std::vector<OverlapRegion> regions;  ///< deepest first
  std::vector<ContactPatch> contacts;  ///< least gap first
  std::vector<float>
      gap_first;  ///< per vertex of the first body: signed gap to the second, negative inside, NaN beyond the band
  std::vector<float> gap_second;  ///< likewise for the second body
  std::vector<std::pair<std::uint32_t, std::uint32_t>>
      crossings;  ///< intersecting triangle pairs (first, second), sorted
};

/// All of it, for another instance of this build.
template <class A>
void exchange(A& archive, OverlapRegion& r) {
  exchange_all(archive, r.deepest_mm, r.at, r.direction, r.volume_mm3, r.area_mm2);
}
template <class A>
void exchange(A& archive, ContactPatch& p) {
  exchange_all(archive, p.at, p.gap_mm, p.area_mm2);
}
template <class A>
void exchange(A& archive, ContactResult& r) {
  exchange_all(archive, r.minimum_distance_mm, r.nearest_first, r.nearest_second, r.overlap_volume_mm3,
               r.volume_error_mm3, r.volume_why, r.regions, r.contacts, r.gap_first, r.gap_second, r.crossings);
}

/// The whole contact answer for two bodies in the poses asked. Exact for the triangles as stored (poses applied in
/// double). Swapping the bodies swaps the answer. Cost: O((k + v) log n) for v vertices inside the band, k crossings.
ContactResult find_contact(const Surface& first, const Pose& first_pose, const Surface& second, const Pose& second_pose,
                           const ContactSettings& settings);

}  // namespace intercusp
