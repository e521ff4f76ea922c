#pragma once

#include <vector>

#include "base/packing.h"
#include "geometry/types.h"

namespace intercusp {

/// An indexed triangle mesh, millimetres. Every index in `triangles` is below `positions.size()`;
/// `colours` is empty or holds one entry per position.
struct Mesh {
  std::vector<Vec3f> positions;
  std::vector<Triangle> triangles;
  std::vector<Colour> colours;

  bool empty() const { return triangles.empty(); }
  Vec3 corner(std::size_t triangle, int k) const {
    return positions[triangles[triangle][static_cast<std::size_t>(k)]].cast<double>();
  }
};

/// All of it, for another instance of this build.
template <class A>
void exchange(A& archive, Mesh& mesh) {
  exchange_all(archive, mesh.positions, mesh.triangles, mesh.colours);
}

/// Bounding box of all positions; empty box for an empty mesh. O(n).
Box bounds(const Mesh& mesh);

/// Sum of triangle areas, mm^2. O(n).
double surface_area(const Mesh& mesh);

/// Signed volume by tetrahedra against the box centre, mm^3: positive when triangles face outward. Meaningful for
/// closed meshes only. O(n).
double signed_volume(const Mesh& mesh);

/// Area-weighted unit normals, one per position (zero where no triangle with area meets). O(n).
std::vector<Vec3f> vertex_normals(const Mesh& mesh);

/// Adds another mesh, its vertices behind those of `all`. Colours stay where both have them. O(n of `more`).
void append(Mesh& all, const Mesh& more);

/// The same mesh with every position moved by `pose`. O(n).
Mesh transformed(const Mesh& mesh, const Pose& pose);

}  // namespace intercusp
