#pragma once

#include <cstdint>
#include <vector>

#include "geometry/mesh.h"

namespace intercusp {

/// Indices (three a triangle, into the same vertices) of a lighter form of the mesh for use while it turns: vertices
/// that fall into one cell of a grid are drawn as the one nearest to their mean. About `wanted` triangles; the mesh's
/// own indices when it has fewer. O(n log n). Not for measuring.
std::vector<std::uint32_t> clustered_indices(const Mesh& mesh, std::size_t wanted);

}  // namespace intercusp
