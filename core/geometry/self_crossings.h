#pragma once

#include <cstdint>
#include <utility>
#include <vector>

#include "geometry/mesh.h"

namespace intercusp {

using TrianglePair = std::pair<std::uint32_t, std::uint32_t>;

/// Do two triangles of a mesh share a point that their common vertices do not explain? Exact. Triangles with a common
/// edge count as sound.
bool triangles_cross(const Mesh& mesh, std::uint32_t s, std::uint32_t t);

/// Pairs of triangles that cross (see above), lower number first, sorted. With `only`, those pairs in which at least
/// one triangle is marked. Expected O(n) where triangles are of about one size.
std::vector<TrianglePair> self_crossings(const Mesh& mesh, const std::vector<bool>* only = nullptr);

/// Moves the vertices of crossing triangles to the middle of their neighbours, round by round and wider where that does
/// not suffice, until none cross; `fixed` vertices stay. For small folds in fine meshes. Returns how many pairs are
/// left.
std::size_t untangle(Mesh& mesh, const std::vector<bool>& fixed);

}  // namespace intercusp
