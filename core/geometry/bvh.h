#pragma once

#include <cstdint>
#include <vector>

#include "geometry/mesh.h"

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

/// Hierarchy of boxes over the triangles of one mesh. Holds its own copy of the corners in leaf order (some 80
/// bytes a triangle in all) and refers to the mesh only while a call runs: pass the same mesh that it was built from.
/// Deterministic.
class Bvh {
 public:
  Bvh() = default;
  /// Binned surface-area heuristic. O(n log n).
  explicit Bvh(const Mesh& mesh);
  /// Without the triangles t where skip[t] is true; `skip` is empty or has one entry a triangle.
  Bvh(const Mesh& mesh, const std::vector<bool>& skip);

  /// Closest point within `limit_mm`; false if there is none. O(log n) typical.
  bool closest(const Mesh& mesh, const Vec3& query, double limit_mm, ClosestPoint& out) const;

  /// Same answer, found sooner when triangle `hint` is near the closest one (the answer for a neighbouring query).
  bool closest_from(const Mesh& mesh, const Vec3& query, double limit_mm, std::uint32_t hint, ClosestPoint& out) const;

  /// True when some triangle lies within `radius_mm` of the query. O(log n) typical.
  bool any_within(const Vec3& query, double radius_mm) const;

  /// First hit of a ray (unit direction) with t in [0, limit]; false if none. Both sides of a triangle count.
  bool ray(const Mesh& mesh, const Vec3& origin, const Vec3& direction, double limit_mm, RayHit& out) const;

  struct Node {
    Eigen::AlignedBox3f box;
    std::uint32_t first = 0;  ///< leaf: first slot in `order`; inner: index of the left child (right is first + 1)
    std::uint32_t count = 0;  ///< leaf: number of triangles; inner: 0
  };
  const std::vector<Node>& nodes() const { return nodes_; }
  const std::vector<std::uint32_t>& order() const { return order_; }

 private:
  struct Corners {
    Vec3f a, b, c;
  };
  /// Four boxes side by side, for searches: a child is another of these, or a slot where the top bit is set.
  struct alignas(16) Wide {
    float low[3][4];
    float high[3][4];
    std::uint32_t child[4];
  };
  void build(const Mesh& mesh);
  void build_wide();
  std::uint32_t add_wide(std::uint32_t node);
  std::uint32_t add_wide_leaf(const Node& leaf);
  void set_lane(std::uint32_t wide, int lane, const Eigen::AlignedBox3f& box, std::uint32_t child);
  /// Calls visit(slot) for triangles whose box may lie within sqrt(best_sq), nearer boxes first; visit may lower
  /// best_sq and ends the search by returning true.
  template <class Visit>
  void visit_near(const Vec3& query, const double& best_sq, Visit visit) const;
  void search(const Vec3& query, double& best_sq, bool& found, ClosestPoint& out) const;

  std::vector<Node> nodes_;
  std::vector<std::uint32_t> order_;
  std::vector<Corners> corners_;
  std::vector<Wide> wide_;
};

}  // namespace intercusp
