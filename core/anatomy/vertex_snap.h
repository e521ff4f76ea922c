#pragma once

#include <vector>

#include "geometry/mesh.h"

namespace intercusp {

/// Moves, for every point on the surface, the nearest vertex onto it, so that the mesh shows edges, tips and grooves
/// exactly where the landmarks are, whatever its density. Points closer together than 1e-4 mm share a vertex. O(points
/// x vertices).
void snap_vertices(Mesh& mesh, const std::vector<Vec3>& points);

/// The same, and then smooths what crosses itself, the vertices at the points apart (see untangle).
void snap_and_untangle(Mesh& mesh, const std::vector<Vec3>& points);

}  // namespace intercusp
