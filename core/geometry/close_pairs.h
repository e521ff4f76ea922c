#pragma once

#include <algorithm>

#include "geometry/posed_pair.h"

namespace intercusp {

/// A rigid motion for four floats side by side.
struct Motion4 {
  Vec4 column[3], shift;

  explicit Motion4(const Pose& pose) {
    for (int i = 0; i < 3; ++i) column[i] = in_all_lanes(pose.linear().col(i));
    shift = in_all_lanes(pose.translation());
  }
  Vec4 turned(const Vec4& v) const { return v.x * column[0] + v.y * column[1] + v.z * column[2]; }
  Vec4 moved(const Vec4& v) const { return turned(v) + shift; }
  Plates moved(const Plates& p) const { return {moved(p.centre), turned(p.axis), p.radius, p.half}; }
  TriangleBlock moved(const TriangleBlock& t) const { return {moved(t.a), moved(t.b), moved(t.c)}; }
};

inline Vec4 spread(const Vec4& v, int lane) {
  return {all_lanes(v.x[lane]), all_lanes(v.y[lane]), all_lanes(v.z[lane])};
}
inline Plates spread(const Plates& p, int lane) {
  return {spread(p.centre, lane), spread(p.axis, lane), all_lanes(p.radius[lane]), all_lanes(p.half[lane])};
}
inline TriangleBlock spread(const TriangleBlock& t, int lane) {
  return {spread(t.a, lane), spread(t.b, lane), spread(t.c, lane)};
}

/// Four triangles with their boxes and planes, for telling quickly how far others are at least.
struct BlockShape {
  TriangleBlock t;
  Vec4 low, high, normal;
  Float4 length_sq;  ///< of the normal
  Float4 doubt;      ///< height times |normal| that rounding may invent, per unit of distance

  BlockShape() = default;
  explicit BlockShape(const TriangleBlock& block);
};
inline BlockShape spread(const BlockShape& s, int lane) {
  BlockShape one;
  one.t = spread(s.t, lane);
  one.low = spread(s.low, lane);
  one.high = spread(s.high, lane);
  one.normal = spread(s.normal, lane);
  one.length_sq = all_lanes(s.length_sq[lane]);
  one.doubt = all_lanes(s.doubt[lane]);
  return one;
}

/// Squared distances of triangle pairs, lane by lane, never too large.
Float4 least_distance_sq(const BlockShape& a, const BlockShape& b);

/// A block of the first body and one of the second.
struct BlockPair {
  std::uint32_t first, second;
};

/// Walks through pairs of nodes of two bodies that may come within a limit, in the frame of the second body.
class CloseBlocks {
 public:
  explicit CloseBlocks(const PosedPair& pair);

  /// Calls visit(BlockPair) for every pair of blocks that may come within limit_mm. The order depends on the pose.
  template <class Visit>
  void visit(double limit_mm, Visit use) {
    const double limit = limit_mm;
    descend<false>(
        limit, [](Bvh::Place, Bvh::Place) { return true; }, use);
  }
  /// The same, nearer nodes first; `use` may lower the limit, mm.
  template <class Visit>
  void visit_nearest_first(const double& limit_mm, Visit use) {
    visit_nearest_first(
        limit_mm, [](Bvh::Place, Bvh::Place) { return true; }, use);
  }
  /// The same without what lies below two nodes for which admit(place of first, place of second) is false.
  template <class Admit, class Visit>
  void visit_nearest_first(const double& limit_mm, Admit admit, Visit use) {
    descend<true>(limit_mm, admit, use);
  }
  /// Calls use(slot of first, slot of second) for the triangles of a pair of blocks that may come within limit_mm.
  template <class Use>
  void triangles(const BlockPair& blocks, const double& limit_mm, Use use) {
    const auto every = [](const BlockShape&, const BlockShape&) { return Int4{1, 1, 1, 1}; };
    triangles(blocks, limit_mm, every, use);
  }
  /// The same without those for which keep(shape of one triangle of first, in all lanes; shapes of second) is 0.
  template <class Keep, class Use>
  void triangles(const BlockPair& blocks, const double& limit_mm, Keep keep, Use use) {
    const BlockShape second(b_.block(blocks.second));
    const BlockShape first(motion_.moved(a_.block(blocks.first)));
    for (int i = 0; i < 4 && 4 * blocks.first + static_cast<std::uint32_t>(i) < a_.order().size(); ++i) {
      const BlockShape one = spread(first, i);
      const Int4 kept = keep(one, second);
      if ((kept[0] | kept[1] | kept[2] | kept[3]) == 0) continue;
      const Float4 apart = least_distance_sq(one, second);
      for (int j = 0; j < 4; ++j) {
        if (kept[j] == 0 || !(apart[j] <= squared(limit_mm))) continue;
        use(4 * blocks.first + static_cast<std::uint32_t>(i), 4 * blocks.second + static_cast<std::uint32_t>(j));
      }
    }
  }

 private:
  struct Pending {
    float distance_sq;
    Bvh::Place first, second;
  };
  /// What a squared distance in float may be when the true one is at the limit.
  float squared(double limit_mm) const {
    const double wide = limit_mm + slack_;
    return wide < 1e14 ? static_cast<float>(wide * wide * 1.000001) : 1e28f;
  }

  template <bool nearest_first, class Admit, class Visit>
  void descend(const double& limit_mm, Admit admit, Visit use) {
    open_.clear();
    if (a_.empty() || b_.empty()) return;
    open_.push_back({0, a_.top(), b_.top()});
    while (!open_.empty()) {
      const Pending next = open_.back();
      open_.pop_back();
      const float limit = squared(limit_mm);
      if (next.distance_sq > limit || !admit(next.first, next.second)) continue;
      if (next.first.level == 0 && next.second.level == 0) {
        use(BlockPair{next.first.index, next.second.index});
        continue;
      }
      const std::size_t base = open_.size();
      open(next, limit);
      if (nearest_first) {
        std::stable_sort(open_.begin() + static_cast<std::ptrdiff_t>(base), open_.end(),
                         [](const Pending& x, const Pending& y) { return x.distance_sq > y.distance_sq; });
      }
    }
  }
  /// Puts the pairs of children within the limit on the stack: of both nodes on the same level, else of the higher.
  void open(const Pending& next, float limit);
  void open_both(const Pending& next, float limit);

  const Bvh &a_, &b_;
  const Motion4 motion_, back_;
  double slack_;
  std::vector<Pending> open_;
};

}  // namespace intercusp
