#pragma once

#include <array>
#include <vector>

#include "base/packing.h"
#include "geometry/mesh.h"

namespace intercusp {

constexpr std::uint32_t kNoTriangle = 0xFFFFFFFFu;

/// Who is whose neighbour in a mesh. Triangles that name a vertex twice and exact repeats of an earlier triangle (same
/// corners, same way round) are set aside: they take no part.
struct Topology {
  std::vector<bool> set_aside;                           ///< per triangle
  std::vector<std::array<std::uint32_t, 3>> neighbours;  ///< across corner-edge k (corner k to k+1), or kNoTriangle
  std::vector<std::array<bool, 3>> border;               ///< corner-edge k is not shared by exactly two opposite ways
  std::vector<std::uint32_t> around_begin;               ///< per vertex, into `around`; one more entry at the end
  std::vector<std::uint32_t> around;                     ///< triangles at each vertex, ascending
  std::vector<bool> border_vertex;                       ///< touches a border edge
  std::vector<std::uint32_t> shell;         ///< per vertex: number of its connected part, or kNoTriangle if unused
  std::vector<std::uint32_t> shell_vertex;  ///< per shell: its first vertex
  std::size_t improper_edges = 0;           ///< edges not shared by exactly two triangles of opposite direction
  std::size_t open_edges = 0;               ///< of these: edges of one triangle only
  std::size_t crowded_edges = 0;            ///< of these: edges of three or more triangles
  std::size_t turned_edges = 0;             ///< of these: two triangles that run the same way
};

/// All of it, for another instance of this build.
template <class A>
void exchange(A& archive, Topology& t) {
  exchange_all(archive, t.set_aside, t.neighbours, t.border, t.around_begin, t.around, t.border_vertex, t.shell,
               t.shell_vertex, t.improper_edges, t.open_edges, t.crowded_edges, t.turned_edges);
}

/// O(n) for meshes whose vertices have few neighbours; O(d log d) for a vertex of d neighbours.
Topology make_topology(const Mesh& mesh);

}  // namespace intercusp
