#pragma once

#include <memory>

#include "geometry/bvh.h"
#include "geometry/mesh.h"
#include "geometry/topology.h"

namespace intercusp {

/// A mesh with everything that is derived from it once and shared by all poses: hierarchy, normals, border, check.
/// Immutable; hold it by `SurfacePtr`. Building costs O(n log n).
class Surface {
 public:
  static std::shared_ptr<const Surface> make(Mesh mesh);
  /// A surface that another instance of this build made, with everything derived from it: O(bytes), nothing is worked
  /// out again.
  template <class A>
  static std::shared_ptr<const Surface> from_archive(A& archive) {
    std::shared_ptr<Surface> made(new Surface());
    made->exchange_parts(archive);
    return made;
  }
  template <class A>
  void to_archive(A& archive) const {
    const_cast<Surface*>(this)->exchange_parts(archive);  // a writing archive changes nothing
  }

  const Mesh& mesh() const { return mesh_; }
  const Bvh& bvh() const { return bvh_; }
  const std::vector<Vec3f>& normals() const { return normals_; }
  const Box& box() const { return box_; }
  /// True when every edge is shared by exactly two triangles of opposite direction: only then is a volume defined.
  /// Exact repeats of a triangle and triangles that name a vertex twice are set aside first (see Topology).
  bool closed() const { return open_edges_ == 0; }
  std::size_t open_edges() const { return open_edges_; }
  /// Per triangle corner-edge k (corner k to k+1): true on the open border.
  const std::vector<std::array<bool, 3>>& border() const { return topology_.border; }

  const Topology& topology() const { return topology_; }
  /// (b - a) x (c - a) of a triangle in the mesh's own frame: outward, twice the area long.
  Vec3 scaled_normal(std::size_t triangle) const;
  /// Angle-weighted pseudonormals per vertex (Baerentzen & Aanaes 2005), not of unit length.
  const std::vector<Vec3>& pseudonormals() const { return pseudonormals_; }
  /// Per vertex: some triangle around it has no area, or the surface turns back on itself there (by more than 113
  /// degrees), so that its pseudonormal proves nothing.
  const std::vector<bool>& doubtful() const { return doubtful_; }
  /// Each vertex in use once, in the order of the blocks of the hierarchy that use it first: those of block b are
  /// block_vertices()[block_vertices_begin()[b] .. block_vertices_begin()[b + 1] - 1].
  const std::vector<std::uint32_t>& block_vertices() const { return block_vertices_; }
  const std::vector<std::uint32_t>& block_vertices_begin() const { return block_vertices_begin_; }

 private:
  Surface() = default;
  explicit Surface(Mesh mesh);
  template <class A>
  void exchange_parts(A& archive) {
    exchange_all(archive, mesh_, topology_, bvh_, normals_, pseudonormals_, doubtful_, block_vertices_,
                 block_vertices_begin_, box_, open_edges_);
  }
  void find_pseudonormals();
  void doubt_folds();
  void list_block_vertices();
  Mesh mesh_;
  Topology topology_;
  Bvh bvh_;
  std::vector<Vec3f> normals_;
  std::vector<Vec3> pseudonormals_;
  std::vector<bool> doubtful_;
  std::vector<std::uint32_t> block_vertices_, block_vertices_begin_;
  Box box_;
  std::size_t open_edges_ = 0;
};

using SurfacePtr = std::shared_ptr<const Surface>;

/// Twice the area at or below which a triangle with these longest edges counts as having none: its normal is rounding.
bool without_area(const Vec3& a, const Vec3& b, const Vec3& c);

}  // namespace intercusp
