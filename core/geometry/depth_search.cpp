#include "geometry/depth_search.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "geometry/lexicographic.h"
#include "geometry/triangle_closest.h"
#include "geometry/vertex_gaps.h"

namespace intercusp {
namespace {

constexpr double kGolden = 0.6180339887498949;
constexpr double kRoundingOfEnds = 1e-9;  ///< how far off its surface a computed crossing may lie, mm
constexpr int kStretchSteps = 40;         // shrinks the stretch by 0.618^40 = 4e-9

/// What is known of a stretch while golden section narrows it down to low..high: parameters along it and the depths at
/// two of them.
struct Narrowing {
  double low = 0, left = 1 - kGolden, right = kGolden, high = 1;
  double at_left = 0, at_right = 0;

  /// No point of low..high is deeper: a depth changes by no more than the way.
  double ceiling(double length) const {
    const double before = at_left + (left - low) * length, beyond = at_right + (high - right) * length;
    const double between = 0.5 * (at_left + at_right + (right - left) * length);
    return std::max({before, between, beyond}) + kRoundingOfEnds;
  }
};

}  // namespace

bool deeper(const Deepest& a, const Deepest& b) {
  return a.depth_mm != b.depth_mm ? a.depth_mm > b.depth_mm : lexicographically_before(a.at, b.at);
}

DepthSearch::DepthSearch(const PosedPair& pair, double off_mm)
    : pair_(pair), off_mm_(off_mm), own_from_common_{pair.pose[0].inverse(), pair.pose[1].inverse()} {}

bool DepthSearch::is_within(std::size_t body, const Vec3& point, double radius_mm, std::uint32_t near) const {
  const Surface& other = *pair_.surface[1 - body];
  const Vec3 query = own_from_common_[1 - body] * point;
  const Mesh& mesh = other.mesh();
  const TrianglePoint on = closest_on_triangle(mesh.corner(near, 0), mesh.corner(near, 1), mesh.corner(near, 2), query);
  return on.distance_sq <= radius_mm * radius_mm || other.bvh().any_within(query, radius_mm);
}

double DepthSearch::depth(std::size_t body, const Vec3& point, Vec3& surface_point, std::uint32_t& triangle) const {
  const Surface& other = *pair_.surface[1 - body];
  ClosestPoint closest;
  const Vec3 query = own_from_common_[1 - body] * point;
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
  if (best.depth_mm > 0 && other.any_within(own_from_common_[1 - body] * point, best.depth_mm)) return;
  Vec3 surface_point = point;
  std::uint32_t triangle = other.empty() ? 0 : other.order().front();
  const double depth_mm = depth(body, point, surface_point, triangle);
  take(body, point, surface_point, triangle, depth_mm, best);
}

void DepthSearch::try_stretch(std::size_t body, const Vec3& p, const Vec3& q, int ends_on_surface, std::uint32_t near,
                              Deepest& best) const {
  const double length = (q - p).norm();
  const double wanted = best.depth_mm + off_mm_;
  if (ends_on_surface > 0 && length / ends_on_surface + kRoundingOfEnds < wanted) return;
  Vec3 unused;
  std::uint32_t triangle = near;
  const Vec3 middle = 0.5 * (p + q);
  // No point of the stretch is deeper than its middle by more than half the length.
  const double enough = wanted - 0.5 * length;
  if (enough > 0 && is_within(body, middle, enough, near)) return;
  const auto depth_at = [&](double t) { return depth(body, p + t * (q - p), unused, triangle); };
  Narrowing n;
  n.at_left = depth_at(n.left);
  n.at_right = depth_at(n.right);
  for (int i = 0; i < kStretchSteps; ++i) {
    if (n.ceiling(length) < wanted) return;
    if (n.at_left < n.at_right) {
      n.low = n.left;
      n.left = n.right;
      n.at_left = n.at_right;
      n.right = n.low + kGolden * (n.high - n.low);
      n.at_right = depth_at(n.right);
    } else {
      n.high = n.right;
      n.right = n.left;
      n.at_right = n.at_left;
      n.left = n.high - kGolden * (n.high - n.low);
      n.at_left = depth_at(n.left);
    }
  }
  try_point(body, p + 0.5 * (n.low + n.high) * (q - p), best);
}

}  // namespace intercusp
