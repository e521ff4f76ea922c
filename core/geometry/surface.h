#pragma once

#include <memory>

#include "geometry/bvh.h"
#include "geometry/mesh.h"

namespace intercusp {

/// A mesh with everything that is derived from it once and shared by all poses: hierarchy, normals, border, check.
/// Immutable; hold it by `SurfacePtr`. Building costs O(n log n).
class Surface {
 public:
  static std::shared_ptr<const Surface> make(Mesh mesh);

  const Mesh& mesh() const { return mesh_; }
  const Bvh& bvh() const { return bvh_; }
  const std::vector<Vec3f>& normals() const { return normals_; }
  const Box& box() const { return box_; }
  /// True when every edge is shared by exactly two triangles of opposite direction: only then is a volume defined.
  bool closed() const { return open_edges_ == 0; }
  std::size_t open_edges() const { return open_edges_; }
  /// Per triangle corner-edge k (corner k to k+1): true on the open border.
  const std::vector<std::array<bool, 3>>& border() const { return border_; }

 private:
  explicit Surface(Mesh mesh);
  Mesh mesh_;
  Bvh bvh_;
  std::vector<Vec3f> normals_;
  std::vector<std::array<bool, 3>> border_;
  Box box_;
  std::size_t open_edges_ = 0;
};

using SurfacePtr = std::shared_ptr<const Surface>;

}  // namespace intercusp
