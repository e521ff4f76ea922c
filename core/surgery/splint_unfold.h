// Triangles of a splint that cross after vertices moved: found, and unfolded in a part of the mesh around them.
#pragma once

#include <vector>

#include "geometry/mesh.h"

namespace intercusp {

/// Marks the corners of triangles that cross, of pairs of which one has a corner in `moved`; whether there are any.
/// Both: one a vertex. O(n log n).
bool mark_crossings(const Mesh& mesh, const std::vector<char>& moved, std::vector<char>& marked);

/// Where the marked vertices are.
std::vector<Vec3> places_of(const Mesh& mesh, const std::vector<char>& marked);

/// Unfolds what crosses near the marked vertices; whether all of it. The moved ones become fresh.
bool unfold(Mesh& mesh, const std::vector<char>& marked, std::vector<char>& fresh);

/// Unfolds what crosses since the `moved` vertices moved, until neither they nor what was unfolded with them cross
/// anything; the unfolded ones become moved. False: `crossing` marks what still crosses.
bool unfold_moved(Mesh& mesh, std::vector<char>& moved, std::vector<char>& crossing);

}  // namespace intercusp
