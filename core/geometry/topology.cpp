#include "geometry/topology.h"

#include <algorithm>
#include <numeric>

namespace intercusp {
namespace {

/// One side of an edge, filed under the lower of its two vertices.
struct HalfEdge {
  std::uint32_t high;  ///< the other vertex
  std::uint32_t triangle;
  std::uint8_t k;  ///< corner-edge
  bool rising;     ///< runs from the lower to the higher vertex
};

bool names_a_vertex_twice(const Triangle& t) {
  return t[0] == t[1] || t[1] == t[2] || t[2] == t[0];
}

/// The same triangle begun at its lowest vertex.
Triangle begun_at_lowest(const Triangle& t) {
  const std::size_t k = static_cast<std::size_t>(std::min_element(t.begin(), t.end()) - t.begin());
  return {t[k], t[(k + 1) % 3], t[(k + 2) % 3]};
}

void list_triangles_around(const Mesh& mesh, Topology& topology) {
  topology.around_begin.assign(mesh.positions.size() + 1, 0);
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    if (topology.set_aside[t]) continue;
    for (const std::uint32_t v : mesh.triangles[t]) ++topology.around_begin[v + 1];
  }
  std::partial_sum(topology.around_begin.begin(), topology.around_begin.end(), topology.around_begin.begin());
  topology.around.resize(topology.around_begin.back());
  std::vector<std::uint32_t> next(topology.around_begin.begin(), topology.around_begin.end() - 1);
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
    if (topology.set_aside[t]) continue;
    for (const std::uint32_t v : mesh.triangles[t]) topology.around[next[v]++] = t;
  }
}

void set_repeats_aside(const Mesh& mesh, Topology& topology) {
  std::vector<Triangle> here;
  for (std::size_t v = 0; v + 1 < topology.around_begin.size(); ++v) {
    here.clear();
    for (std::uint32_t i = topology.around_begin[v]; i < topology.around_begin[v + 1]; ++i) {
      const Triangle t = begun_at_lowest(mesh.triangles[topology.around[i]]);
      if (t[0] != v) continue;
      if (std::find(here.begin(), here.end(), t) != here.end()) {
        topology.set_aside[topology.around[i]] = true;
      } else {
        here.push_back(t);
      }
    }
  }
}

void note_improper(const Mesh& mesh, const HalfEdge* begin, const HalfEdge* end, Topology& topology) {
  ++topology.improper_edges;
  if (end - begin == 1) ++topology.open_edges;
  if (end - begin == 2) ++topology.turned_edges;
  if (end - begin > 2) ++topology.crowded_edges;
  for (const HalfEdge* h = begin; h < end; ++h) {
    topology.border[h->triangle][h->k] = true;
    topology.border_vertex[mesh.triangles[h->triangle][h->k]] = true;
    topology.border_vertex[mesh.triangles[h->triangle][(h->k + 1u) % 3]] = true;
  }
}

/// All half-edges under one lower vertex, sorted by the other vertex.
void join_edges(const Mesh& mesh, std::vector<HalfEdge>& here, Topology& topology) {
  std::stable_sort(here.begin(), here.end(), [](const HalfEdge& a, const HalfEdge& b) { return a.high < b.high; });
  for (std::size_t i = 0; i < here.size();) {
    std::size_t end = i + 1;
    while (end < here.size() && here[end].high == here[i].high) ++end;
    if (end - i == 2 && here[i].rising != here[i + 1].rising) {
      topology.neighbours[here[i].triangle][here[i].k] = here[i + 1].triangle;
      topology.neighbours[here[i + 1].triangle][here[i + 1].k] = here[i].triangle;
    } else {
      note_improper(mesh, &here[i], here.data() + end, topology);
    }
    i = end;
  }
}

void find_neighbours(const Mesh& mesh, Topology& topology) {
  topology.neighbours.assign(mesh.triangles.size(), {kNoTriangle, kNoTriangle, kNoTriangle});
  topology.border.assign(mesh.triangles.size(), {false, false, false});
  topology.border_vertex.assign(mesh.positions.size(), false);
  std::vector<HalfEdge> here;
  for (std::uint32_t v = 0; v < mesh.positions.size(); ++v) {
    here.clear();
    for (std::uint32_t i = topology.around_begin[v]; i < topology.around_begin[v + 1]; ++i) {
      const std::uint32_t t = topology.around[i];
      for (std::uint8_t k = 0; k < 3; ++k) {
        const std::uint32_t from = mesh.triangles[t][k], to = mesh.triangles[t][(k + 1u) % 3];
        if (std::min(from, to) == v) here.push_back({std::max(from, to), t, k, from < to});
      }
    }
    join_edges(mesh, here, topology);
  }
}

void number_shells(const Mesh& mesh, Topology& topology) {
  topology.shell.assign(mesh.positions.size(), kNoTriangle);
  std::vector<std::uint32_t> open;
  for (std::uint32_t start = 0; start < mesh.positions.size(); ++start) {
    if (topology.shell[start] != kNoTriangle || topology.around_begin[start] == topology.around_begin[start + 1])
      continue;
    const auto number = static_cast<std::uint32_t>(topology.shell_vertex.size());
    topology.shell_vertex.push_back(start);
    topology.shell[start] = number;
    open.assign(1, start);
    while (!open.empty()) {
      const std::uint32_t v = open.back();
      open.pop_back();
      for (std::uint32_t i = topology.around_begin[v]; i < topology.around_begin[v + 1]; ++i) {
        for (const std::uint32_t w : mesh.triangles[topology.around[i]]) {
          if (topology.shell[w] != kNoTriangle) continue;
          topology.shell[w] = number;
          open.push_back(w);
        }
      }
    }
  }
}

}  // namespace

Topology make_topology(const Mesh& mesh) {
  Topology topology;
  topology.set_aside.resize(mesh.triangles.size());
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    topology.set_aside[t] = names_a_vertex_twice(mesh.triangles[t]);
  }
  list_triangles_around(mesh, topology);
  const auto aside = std::count(topology.set_aside.begin(), topology.set_aside.end(), true);
  set_repeats_aside(mesh, topology);
  if (std::count(topology.set_aside.begin(), topology.set_aside.end(), true) != aside) {
    list_triangles_around(mesh, topology);
  }
  find_neighbours(mesh, topology);
  number_shells(mesh, topology);
  return topology;
}

}  // namespace intercusp
