#include "geometry/depth_search.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "geometry/lexicographic.h"
#include "geometry/vertex_gaps.h"

namespace intercusp {
namespace {

constexpr double kGolden = 0.6180339887498949;
constexpr double kRoundingOfEnds = 1e-9;  ///< how far off its surface a computed crossing may lie, mm
constexpr int kStretchSteps = 40;         // shrinks the stretch by 0.618^40 = 4e-9

}  // namespace

double DepthSearch::depth(std::size_t body, const Vec3& point, Vec3& surface_point, std::uint32_t& triangle) const {
  const Surface& other = *pair_.surface[1 - body];
  ClosestPoint closest;
  const Vec3 query = pair_.pose[1 - body].inverse() * point;
  if (other.bvh().empty()) return 0;
  // `triangle` is that of the last point asked about, or any: it only makes the search shorter.
  other.bvh().closest_from(other.mesh(), query, std::numeric_limits<double>::infinity(), triangle, closest);
  surface_point = pair_.pose[1 - body] * closest.point;
  triangle = closest.triangle;
  return closest.distance_mm;
}

void DepthSearch::take(std::size_t body, const Vec3& point, const Vec3& surface_point, std::uint32_t triangle,
                       double depth_mm, Deepest& best) const {
  if (depth_mm < best.depth_mm || (depth_mm == best.depth_mm && !lexicographically_before(point, best.at))) return;
  Vec3 out = surface_point - point;
  if (out.norm() < kStretchSteps * 1e-12) {  // on the surface: its normal says which way is out
    const Corners c = pair_.corners(1 - body, triangle);
    out = (c[1] - c[0]).cross(c[2] - c[0]);
  }
  if (out.norm() == 0) return;
  const double turn = body == 0 ? 1.0 : -1.0;  // the second body comes free the opposite way
  best = {depth_mm, point, turn * out.normalized()};
}

void DepthSearch::try_known(std::size_t body, std::uint32_t vertex, double depth_mm, std::uint32_t nearest,
                            Deepest& best) const {
  if (depth_mm < best.depth_mm) return;
  const Vec3 point = pair_.point(body, vertex);
  take(body, point, nearest_on_other(pair_, body, nearest, point), nearest, depth_mm, best);
}

void DepthSearch::try_point(std::size_t body, const Vec3& point, Deepest& best) const {
  const Bvh& other = pair_.surface[1 - body]->bvh();
  if (best.depth_mm > 0 && other.any_within(pair_.pose[1 - body].inverse() * point, best.depth_mm)) return;
  Vec3 surface_point = point;
  std::uint32_t triangle = other.empty() ? 0 : other.order().front();
  const double depth_mm = depth(body, point, surface_point, triangle);
  take(body, point, surface_point, triangle, depth_mm, best);
}

void DepthSearch::try_stretch(std::size_t body, const Vec3& p, const Vec3& q, int ends_on_surface,
                              Deepest& best) const {
  const double length = (q - p).norm();
  if (ends_on_surface > 0 && length / ends_on_surface + kRoundingOfEnds < best.depth_mm) return;
  Vec3 unused;
  const Bvh& whole = pair_.surface[1 - body]->bvh();
  std::uint32_t triangle = whole.empty() ? 0 : whole.order().front();
  const Vec3 middle = 0.5 * (p + q);
  // No point of the stretch is deeper than its middle by more than half the length.
  if (best.depth_mm > 0) {
    const double enough = best.depth_mm - 0.5 * length;
    const Bvh& other = pair_.surface[1 - body]->bvh();
    if (enough > 0 && other.any_within(pair_.pose[1 - body].inverse() * middle, enough)) return;
  }
  double low = 0, high = 1;
  double left = 1 - kGolden, right = kGolden;
  double at_left = depth(body, p + left * (q - p), unused, triangle);
  double at_right = depth(body, p + right * (q - p), unused, triangle);
  for (int i = 0; i < kStretchSteps; ++i) {
    if (at_left < at_right) {
      low = left;
      left = right;
      at_left = at_right;
      right = low + kGolden * (high - low);
      at_right = depth(body, p + right * (q - p), unused, triangle);
    } else {
      high = right;
      right = left;
      at_right = at_left;
      left = high - kGolden * (high - low);
      at_left = depth(body, p + left * (q - p), unused, triangle);
    }
  }
  try_point(body, p + 0.5 * (low + high) * (q - p), best);
}

}  // namespace intercusp
