#include "geometry/contact.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "geometry/contact_patches.h"
#include "geometry/crossings.h"
#include "geometry/inside_parts.h"
#include "geometry/lexicographic.h"
#include "geometry/overlap.h"

namespace intercusp {
namespace {

constexpr double kFar = std::numeric_limits<double>::infinity();

/// The nearest pair of points with a vertex of `body` among them, if that is nearer than `best`.
void nearest_vertex(const PosedPair& pair, std::size_t body, const VertexGaps& gaps, TriangleGap& best) {
  std::uint32_t nearest = kNone;
  for (std::uint32_t v = 0; v < gaps.gap_mm.size(); ++v) {
    if (!(std::abs(gaps.gap_mm[v]) < best.distance_mm)) continue;
    best.distance_mm = std::abs(gaps.gap_mm[v]);
    nearest = v;
  }
  if (nearest == kNone) return;
  const Vec3& own = pair.points[body][nearest];
  const Vec3 other = nearest_on_other(pair, body, gaps.nearest[nearest], own);
  best = body == 0 ? TriangleGap{best.distance_mm, own, other} : TriangleGap{best.distance_mm, other, own};
}

/// Some pair of points of the two bodies, to begin the search from when no vertex lies in the band.
TriangleGap any_points(const PosedPair& pair) {
  TriangleGap found{kFar, Vec3::Zero(), Vec3::Zero()};
  if (pair.surface[0]->bvh().order().empty() || pair.surface[1]->bvh().order().empty()) return found;
  found.on_first = pair.corners(0, pair.surface[0]->bvh().order().front())[0];
  found.on_second = pair.corners(1, pair.surface[1]->bvh().order().front())[0];
  found.distance_mm = (found.on_first - found.on_second).norm();
  return found;
}

/// The first, in order of coordinates, of the points where the bodies touch.
Vec3 touching_point(const PosedPair& pair, const Crossings& crossings) {
  Vec3 first = Vec3::Constant(kFar);
  for (const auto& [a, b] : crossings.touching) {
    const Vec3 p = triangle_distance(pair.corners(0, a), pair.corners(1, b)).on_first;
    if (lexicographically_before(p, first)) first = p;
  }
  return first;
}

void set_minimum_distance(const PosedPair& pair, const Crossings& crossings, const std::array<VertexGaps, 2>& gaps,
                          ContactResult& result) {
  TriangleGap nearest{0, Vec3::Zero(), Vec3::Zero()};
  if (!result.regions.empty()) {
    nearest.on_first = nearest.on_second = result.regions.front().at;
  } else if (!crossings.touching.empty()) {
    nearest.on_first = nearest.on_second = touching_point(pair, crossings);
  } else {
    nearest = any_points(pair);
    for (std::size_t body = 0; body < 2; ++body) nearest_vertex(pair, body, gaps[body], nearest);
    nearest = nearest_points(pair, nearest);
  }
  result.minimum_distance_mm = nearest.distance_mm;
  result.nearest_first = nearest.on_first;
  result.nearest_second = nearest.on_second;
}

}  // namespace

ContactResult find_contact(const Surface& first, const Pose& first_pose, const Surface& second, const Pose& second_pose,
                           const ContactSettings& settings) {
  const PosedPair pair = make_posed_pair(first, first_pose, second, second_pose);
  std::array<VertexGaps, 2> gaps;
  for (std::size_t body = 0; body < 2; ++body) find_vertex_gaps(pair, body, settings.band_mm, gaps[body]);
  const Crossings crossings = find_crossings(pair, settings.contact_mm);
  Overlap overlap = find_overlap(pair, crossings, find_inside_parts(pair, crossings, gaps), gaps);

  ContactResult result;
  result.contacts = find_contact_patches(pair, crossings, gaps, overlap, settings.contact_mm);
  result.regions = std::move(overlap.regions);
  result.overlap_volume_mm3 = overlap.volume_mm3;
  result.volume_why = std::move(overlap.volume_why);
  result.gap_first.assign(gaps[0].gap_mm.begin(), gaps[0].gap_mm.end());
  result.gap_second.assign(gaps[1].gap_mm.begin(), gaps[1].gap_mm.end());
  result.crossings = crossings.touching;
  set_minimum_distance(pair, crossings, gaps, result);
  return result;
}

}  // namespace intercusp
