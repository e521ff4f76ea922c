// The first half of a cut: a mesh with the value of the cut surface at every vertex, so that what follows looks at
// signs alone and can contradict itself nowhere.
#pragma once

#include <vector>

#include "geometry/cut_surface.h"
#include "geometry/mesh.h"

namespace intercusp {

/// A mesh and the value of a cut surface at each vertex.
struct LevelMesh {
  Mesh mesh;
  std::vector<double> value;
};

/// The mesh with its values; triangles within `reach` (mm) of the surface that lie across a fold of it are parted
/// there, so that the value is linear over each of them (to 1e-4 mm). New vertices lie on edges. O(n p) for p planes.
LevelMesh make_levels(const Mesh& mesh, const CutSurface& surface, double reach);

/// An edge of the section: where the surface of the kept part ends. Its direction is that of the lid's outline.
struct SectionEdge {
  std::uint32_t from = 0, to = 0;  ///< vertices of the clipped mesh
  int facet = 0;                   ///< of the cut surface
};

struct Clipped {
  Mesh mesh;  ///< open where it was cut
  std::vector<SectionEdge> section;
  std::uint32_t first_new = 0;  ///< vertices from here on are not the mesh's own
};

/// The part whose value is above `level`. No vertex may have exactly that value. Section points nearer to each other
/// than rounding can tell apart become one. O(n).
Clipped clip_above(const LevelMesh& levels, const CutSurface& surface, double level);

}  // namespace intercusp
