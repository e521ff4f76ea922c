#pragma once

#include <cstdint>
#include <vector>

#include "geometry/mesh.h"

namespace intercusp {

/// Binary STL: 84 + 50 n bytes, a header without names that does not begin with `solid`, normals computed from the
/// corners, attribute words 0. Colours are lost, vertices are no longer shared. O(n).
std::vector<std::uint8_t> write_stl(const Mesh& mesh);

/// PLY 1.0, binary little-endian, float positions bit for bit, red green blue alpha bytes when the mesh has colours.
std::vector<std::uint8_t> write_ply(const Mesh& mesh);

/// OBJ, indices from 1, decimals that read back to the same floats, colours as three numbers from 0 to 1 (no alpha).
std::vector<std::uint8_t> write_obj(const Mesh& mesh);

/// glTF 2.0 binary of this one mesh (mm, patient frame) under a root node that gives metres, +Y up. A mesh without
/// triangles gives a scene without nodes, since glTF cannot hold an empty mesh.
std::vector<std::uint8_t> write_glb(const Mesh& mesh);

}  // namespace intercusp
