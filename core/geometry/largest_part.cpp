#include "geometry/largest_part.h"

#include <algorithm>

#include "geometry/topology.h"

namespace intercusp {

namespace {

constexpr std::uint32_t kDropped = 0xFFFFFFFFu;

/// Moves the vertices of part `kept` to the front and gives every vertex's new place, or kDropped.
std::vector<std::uint32_t> close_ranks(Mesh& mesh, const std::vector<std::uint32_t>& part, std::uint32_t kept) {
  std::vector<std::uint32_t> place(mesh.positions.size(), kDropped);
  std::uint32_t next = 0;
  for (std::size_t i = 0; i < place.size(); ++i) {
    if (part[i] != kept) continue;
    mesh.positions[next] = mesh.positions[i];
    if (!mesh.colours.empty()) mesh.colours[next] = mesh.colours[i];
    place[i] = next++;
  }
  mesh.positions.resize(next);
  if (!mesh.colours.empty()) mesh.colours.resize(next);
  return place;
}

}  // namespace

void keep_largest_part(Mesh& mesh) {
  const Topology topology = make_topology(mesh);
  if (topology.shell_vertex.size() < 2) return;
  std::vector<std::size_t> count(topology.shell_vertex.size(), 0);
  for (const Triangle& t : mesh.triangles)
    if (topology.shell[t[0]] < count.size()) ++count[topology.shell[t[0]]];
  const auto kept = static_cast<std::uint32_t>(std::max_element(count.begin(), count.end()) - count.begin());
  const std::vector<std::uint32_t> place = close_ranks(mesh, topology.shell, kept);
  std::vector<Triangle> triangles;
  triangles.reserve(count[kept]);
  for (const Triangle& t : mesh.triangles)
    if (place[t[0]] != kDropped && place[t[1]] != kDropped && place[t[2]] != kDropped)
      triangles.push_back({place[t[0]], place[t[1]], place[t[2]]});
  mesh.triangles = std::move(triangles);
}

}  // namespace intercusp
