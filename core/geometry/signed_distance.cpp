#include "geometry/signed_distance.h"

#include <cmath>

#include "geometry/pierce.h"

namespace intercusp {
namespace {

/// Below this share of the lengths a product of a pseudonormal says nothing.
constexpr double kDoubtfulCosine = 1e-10;

Side by_winding(const Surface& surface, const Vec3& query) {
  if (!surface.closed()) return Side::unknown;
  return winding_number(surface, query) > 0 ? Side::inside : Side::outside;
}

/// The pseudonormal of the nearest feature; false where the feature lies on the border (`unknown` for good).
struct FeatureNormal {
  Vec3 normal = Vec3::Zero();
  bool border = false;
  bool doubtful = false;
};

FeatureNormal corner_normal(const Surface& surface, const ClosestPoint& nearest) {
  const std::uint32_t v = surface.mesh().triangles[nearest.triangle][static_cast<std::size_t>(nearest.feature)];
  return {surface.pseudonormals()[v], surface.topology().border_vertex[v], surface.doubtful()[v]};
}

FeatureNormal edge_normal(const Surface& surface, const ClosestPoint& nearest) {
  const auto k = static_cast<std::size_t>(nearest.feature - 3);
  const std::uint32_t other = surface.topology().neighbours[nearest.triangle][k];
  if (other == kNoTriangle) return {Vec3::Zero(), true, false};
  const Triangle& t = surface.mesh().triangles[nearest.triangle];
  const bool doubtful = surface.doubtful()[t[k]] && surface.doubtful()[t[(k + 1) % 3]];
  const Vec3 n = surface.scaled_normal(nearest.triangle), m = surface.scaled_normal(other);
  return {n.stableNormalized() + m.stableNormalized(), false, doubtful};
}

/// A face between two doubtful corners may be the turned side of a fold.
FeatureNormal face_normal(const Surface& surface, const ClosestPoint& nearest) {
  int doubtful = 0;
  for (const std::uint32_t v : surface.mesh().triangles[nearest.triangle]) doubtful += surface.doubtful()[v] ? 1 : 0;
  return {surface.scaled_normal(nearest.triangle), false, doubtful >= 2};
}

}  // namespace

Side side_of(const Surface& surface, const Vec3& query, const ClosestPoint& nearest) {
  const Vec3 away = query - nearest.point;
  FeatureNormal feature;
  if (nearest.feature < 3) {
    feature = corner_normal(surface, nearest);
  } else if (nearest.feature < 6) {
    feature = edge_normal(surface, nearest);
  } else {
    feature = face_normal(surface, nearest);
  }
  if (feature.border) return Side::unknown;
  const double along = feature.normal.dot(away);
  if (away.squaredNorm() == 0) return Side::outside;
  const bool says_nothing = !(std::abs(along) > kDoubtfulCosine * feature.normal.norm() * away.norm());
  if (feature.doubtful || says_nothing) return by_winding(surface, query);
  return along < 0 ? Side::inside : Side::outside;
}

bool signed_distance(const Surface& surface, const Vec3& query, double limit_mm, SignedDistance& out) {
  return signed_distance_from(surface, query, limit_mm, kNoTriangle, out);
}

bool signed_distance_from(const Surface& surface, const Vec3& query, double limit_mm, std::uint32_t hint,
                          SignedDistance& out) {
  const Bvh& bvh = surface.bvh();
  const bool found = hint == kNoTriangle ? bvh.closest(surface.mesh(), query, limit_mm, out.nearest)
                                         : bvh.closest_from(surface.mesh(), query, limit_mm, hint, out.nearest);
  if (!found) return false;
  out.side = side_of(surface, query, out.nearest);
  out.distance_mm = out.side == Side::inside ? -out.nearest.distance_mm : out.nearest.distance_mm;
  return true;
}

int winding_number(const Surface& surface, const Vec3& query) {
  const Bvh& bvh = surface.bvh();
  if (bvh.empty() || !surface.box().contains(query)) return 0;
  const Vec3 far(surface.box().max().x() + 1, query.y(), query.z());
  int winds = 0;
  const auto may_meet = [&](const Bvh::Box3f& box) {
    const Vec3 low = box.min().cast<double>(), high = box.max().cast<double>();
    return query.y() >= low.y() && query.y() <= high.y() && query.z() >= low.z() && query.z() <= high.z() &&
           query.x() <= high.x();
  };
  bvh.walk(may_meet, [&](std::uint32_t slot) {
    const Passage passage = pierce(query, far, bvh.corner(slot, 0), bvh.corner(slot, 1), bvh.corner(slot, 2), 1);
    if (passage != Passage::none) winds += passage == Passage::leaving ? 1 : -1;
  });
  return winds;
}

}  // namespace intercusp
