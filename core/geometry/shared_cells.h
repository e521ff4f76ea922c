#pragma once

#include <cstdint>
#include <vector>

#include "geometry/mesh.h"

namespace intercusp {

/// Which vertices of a mesh fall into one cell of a grid, and the middles of those that do.
struct SharedCells {
  std::vector<std::uint32_t> number;  ///< of the cell of each vertex, 0 .. middle.size() - 1
  std::vector<Vec3f> middle;          ///< mean of the vertices of each cell
};

/// `cell`: side of the cells, in the mesh's unit; at most 2^21 of them along each axis. O(n), where the vertices lie
/// far apart for the cells O(n log n).
SharedCells share_cells(const Mesh& mesh, double cell);

}  // namespace intercusp
