#pragma once

#include <cstdint>
#include <vector>

#include "base/packing.h"
#include "geometry/mesh.h"
#include "geometry/plate.h"
#include "geometry/triangle_block.h"

namespace intercusp {

/// The point of a mesh closest to a query point.
struct ClosestPoint {
  double distance_mm = 0;
  Vec3 point = Vec3::Zero();
  std::uint32_t triangle = 0;
  /// Which feature of the triangle is nearest: 0..2 corner, 3..5 edge (k to k+1), 6 face.
  int feature = 6;
};

struct RayHit {
  double t = 0;  ///< distance along the unit direction, mm
  std::uint32_t triangle = 0;
};

/// Hierarchy over the triangles of one mesh, parted at the median again and again into blocks of four; four blocks
/// make a node, four nodes the next, without pointers: node i of a level has the children 4 i .. 4 i + 3 of the level
/// below, blocks being level 0. Holds its own copy of the corners, some 75 bytes a triangle in all, and knows
/// nothing of the mesh afterwards. Deterministic.
class Bvh {
 public:
  using Box3f = Eigen::AlignedBox3f;

  Bvh() = default;
  /// O(n log n), on two threads where there are two.
  explicit Bvh(const Mesh& mesh);
  /// Without the triangles t where skip[t] is true; `skip` is empty or has one entry a triangle.
  Bvh(const Mesh& mesh, const std::vector<bool>& skip);

  /// Closest point within `limit_mm`; false if there is none. Of triangles equally near the first is named. O(log n)
  /// typical.
  bool closest(const Mesh& mesh, const Vec3& query, double limit_mm, ClosestPoint& out) const;

  /// Same answer, found sooner when triangle `hint` is near the closest one (the answer for a neighbouring query).
  bool closest_from(const Mesh& mesh, const Vec3& query, double limit_mm, std::uint32_t hint, ClosestPoint& out) const;

  /// A node: level 1 and above, or a block (level 0).
  struct Place {
    std::uint32_t level = 0, index = 0;
  };
  /// Nodes that hold all triangles which matter to queries of some neighbourhood, their plates side by side.
  struct Front {
    std::vector<Plates> plates;  ///< four places each; unused ones lie far from everything
    std::vector<Place> places;

    void clear() {
      plates.clear();
      places.clear();
    }
    void add(const Plates& from, int lane, Place place);
  };
  /// As closest(), among the triangles below `front` only. `out` holds a known candidate already when `found`, with its
  /// distance; the answer is the same whichever it is.
  void closest_below(const Front& front, const Vec3& query, double limit_mm, bool& found, ClosestPoint& out) const;

  /// True when some triangle lies within `radius_mm` of the query. O(log n) typical.
  bool any_within(const Vec3& query, double radius_mm) const;

  /// First hit of a ray (unit direction) with t in [0, limit]; false if none. Both sides of a triangle count. O(log n)
  /// typical.
  bool ray(const Mesh& mesh, const Vec3& origin, const Vec3& direction, double limit_mm, RayHit& out) const;

  bool empty() const { return order_.empty(); }
  /// Triangles in the order of the blocks: slot 4 b + k is lane k of block b.
  const std::vector<std::uint32_t>& order() const { return order_; }
  const Box3f& box() const { return box_; }

  /// Calls use(slot) for the triangles of all blocks that `admit(box)` lets pass. In order of slots.
  template <class Admit, class Use>
  void walk(Admit admit, Use use) const {
    if (!empty()) walk_below(top_level(), 0, admit, use);
  }

  std::uint32_t top_level() const { return static_cast<std::uint32_t>(counts_.size() - 2); }
  Place top() const { return {top_level(), 0}; }
  /// Number of nodes of a level.
  std::uint32_t count(std::uint32_t level) const { return counts_[level]; }
  const TriangleBlock& block(std::uint32_t index) const { return blocks_[index]; }
  /// The plates and boxes of a node's children; those beyond the last child lie far from everything.
  const Plates& plates(Place node) const { return plates_[first_[node.level] + node.index]; }
  /// Corner `k` (0 low, 1 high) of the box of a child.
  Box3f child_box(Place node, int lane) const {
    const Boxes& b = boxes_[first_[node.level] + node.index];
    return {Vec3f(b.low.x[lane], b.low.y[lane], b.low.z[lane]), Vec3f(b.high.x[lane], b.high.y[lane], b.high.z[lane])};
  }
  Vec3 corner(std::uint32_t slot, int k) const;
  /// Bytes held.
  std::size_t memory() const;

  /// All of it, for another instance of this build (base/packing.h).
  template <class A>
  friend void exchange(A& archive, Bvh& bvh) {
    exchange_all(archive, bvh.order_, bvh.blocks_, bvh.plates_, bvh.boxes_, bvh.counts_, bvh.first_, bvh.box_);
  }

 private:
  friend class BvhBuilder;
  struct alignas(16) Boxes {
    Vec4 low, high;
  };
  template <class Admit, class Use>
  void walk_below(std::uint32_t level, std::uint32_t index, Admit& admit, Use& use) const {
    for (std::uint32_t k = 0; k < 4; ++k) {
      const std::uint32_t child = 4 * index + k;
      if (child >= counts_[level - 1] || !admit(child_box({level, index}, static_cast<int>(k)))) continue;
      if (level > 1) {
        walk_below(level - 1, child, admit, use);
        continue;
      }
      const std::uint32_t end = std::min(4 * child + 4, static_cast<std::uint32_t>(order_.size()));
      for (std::uint32_t slot = 4 * child; slot < end; ++slot) use(slot);
    }
  }
  struct Near;
  double slack_for(const Vec3& query) const;
  /// Calls visit(block, slot) for triangles below a place that may lie within the limit, nearer nodes first; visit may
  /// lower the limit and ends the search by returning true.
  template <class Visit>
  bool visit_near(Place place, float distance_sq_of_place, Near& near, Visit visit) const;
  void search(const Vec3& query, double& best_sq, bool& found, ClosestPoint& out) const;

  std::vector<std::uint32_t> order_;
  std::vector<TriangleBlock> blocks_;
  std::vector<Plates> plates_;
  std::vector<Boxes> boxes_;
  std::vector<std::uint32_t> counts_;  ///< per level; the last is one node around the top
  std::vector<std::uint32_t> first_;   ///< per level: first of its nodes in plates_ and boxes_
  Box3f box_;
};

}  // namespace intercusp
