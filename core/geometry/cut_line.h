#pragma once

#include <vector>

#include "geometry/cut_surface.h"
#include "geometry/mesh.h"

namespace intercusp {

/// A piece of the line in which a cut would show on a surface.
struct CutLineStretch {
  Vec3 from = Vec3::Zero(), to = Vec3::Zero();
  Vec3 outward = Vec3::UnitZ();  ///< unit normal of the triangle it lies on
};

/// Where a cut would show on a mesh, in the mesh's frame: one stretch a triangle, straight between points of its edges.
/// Exact on a facet; where the cut folds within a triangle the fold is rounded off, by less than the triangle's size.
/// Made for drawing while a hand drags the cut: O(vertices times planes), nothing is sawn.
std::vector<CutLineStretch> cut_line(const Mesh& mesh, const CutSurface& cut);

}  // namespace intercusp
