#include "geometry/close_pairs.h"

namespace intercusp {
namespace {

Vec4 low_of(const Vec4& a, const Vec4& b, const Vec4& c) {
  return {lesser(a.x, lesser(b.x, c.x)), lesser(a.y, lesser(b.y, c.y)), lesser(a.z, lesser(b.z, c.z))};
}
Vec4 high_of(const Vec4& a, const Vec4& b, const Vec4& c) {
  return {greater(a.x, greater(b.x, c.x)), greater(a.y, greater(b.y, c.y)), greater(a.z, greater(b.z, c.z))};
}
Float4 sum_of_magnitudes(const Vec4& v) {
  return magnitude(v.x) + magnitude(v.y) + magnitude(v.z);
}

/// Squared height of triangle t over the plane of `plane`, 0 where it reaches through.
Float4 height_sq(const BlockShape& plane, const TriangleBlock& t) {
  const Float4 zero = {0, 0, 0, 0};
  const Vec4 a = t.a - plane.t.a, b = t.b - plane.t.a, c = t.c - plane.t.a;
  const Float4 ha = dot(plane.normal, a), hb = dot(plane.normal, b), hc = dot(plane.normal, c);
  const Float4 low = lesser(ha, lesser(hb, hc)), high = greater(ha, greater(hb, hc));
  const Float4 doubt = plane.doubt * (sum_of_magnitudes(a) + sum_of_magnitudes(b) + sum_of_magnitudes(c));
  const Float4 over = greater(greater(low, -high) - doubt, zero);
  return over > zero ? over * over / plane.length_sq : zero;
}

double reach_of(const Bvh& bvh) {
  return bvh.empty() ? 0 : std::max(bvh.box().min().cwiseAbs().maxCoeff(), bvh.box().max().cwiseAbs().maxCoeff());
}

}  // namespace

BlockShape::BlockShape(const TriangleBlock& block)
    : t(block), low(low_of(block.a, block.b, block.c)), high(high_of(block.a, block.b, block.c)) {
  const Vec4 ab = block.b - block.a, ac = block.c - block.a;
  normal = cross(ab, ac);
  length_sq = dot(normal, normal);
  doubt = 1e-6f * sum_of_magnitudes(ab) * sum_of_magnitudes(ac);
}

Float4 least_distance_sq(const BlockShape& a, const BlockShape& b) {
  const Float4 zero = {0, 0, 0, 0};
  const Float4 x = greater(greater(a.low.x - b.high.x, b.low.x - a.high.x), zero);
  const Float4 y = greater(greater(a.low.y - b.high.y, b.low.y - a.high.y), zero);
  const Float4 z = greater(greater(a.low.z - b.high.z, b.low.z - a.high.z), zero);
  return greater(x * x + y * y + z * z, greater(height_sq(a, b.t), height_sq(b, a.t)));
}

CloseBlocks::CloseBlocks(const PosedPair& pair)
    : a_(pair.surface[0]->bvh()),
      b_(pair.surface[1]->bvh()),
      motion_(pair.other_from_own[0]),
      back_(pair.other_from_own[1]),
      slack_(2e-6 * (reach_of(a_) + reach_of(b_) + pair.other_from_own[0].translation().norm())) {}

void CloseBlocks::open(const Pending& next, float limit) {
  if (next.first.level == next.second.level) return open_both(next, limit);
  const bool first = next.first.level > next.second.level;
  const Bvh::Place high = first ? next.first : next.second, low = first ? next.second : next.first;
  const Plates& of_low = (first ? b_ : a_).plates({low.level + 1, low.index / 4});
  const Plates one = spread((first ? back_ : motion_).moved(of_low), static_cast<int>(low.index % 4));
  const Float4 apart = distance_sq(one, (first ? a_ : b_).plates(high));
  for (std::uint32_t k = 0; k < 4; ++k) {
    const float d = apart[static_cast<int>(k)];
    if (!(d <= limit)) continue;
    const Bvh::Place child{high.level - 1, 4 * high.index + k};
    open_.push_back({d, first ? child : low, first ? low : child});
  }
}

void CloseBlocks::open_both(const Pending& next, float limit) {
  const Plates moved = motion_.moved(a_.plates(next.first));
  const Plates& others = b_.plates(next.second);
  const std::uint32_t level = next.first.level - 1;
  for (std::uint32_t i = 0; i < 4 && 4 * next.first.index + i < a_.count(level); ++i) {
    const Float4 apart = distance_sq(spread(moved, static_cast<int>(i)), others);
    for (std::uint32_t j = 0; j < 4 && 4 * next.second.index + j < b_.count(level); ++j) {
      const float d = apart[static_cast<int>(j)];
      if (!(d <= limit)) continue;
      open_.push_back({d, {level, 4 * next.first.index + i}, {level, 4 * next.second.index + j}});
    }
  }
}

}  // namespace intercusp
