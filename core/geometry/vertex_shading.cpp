#include "geometry/vertex_shading.h"

#include <cmath>

namespace intercusp {
namespace {

/// Each vertex's distinct neighbours, as one flat list.
struct Ring {
  std::vector<std::uint32_t> begin, vertices;
};

/// Both ends of every corner-edge: on a closed mesh each neighbour is listed once, by the triangle to its left.
Ring make_ring(const Mesh& mesh, const Topology& topology) {
  Ring ring;
  ring.begin.reserve(mesh.positions.size() + 1);
  ring.vertices.reserve(3 * mesh.triangles.size());
  for (std::size_t v = 0; v < mesh.positions.size(); ++v) {
    ring.begin.push_back(static_cast<std::uint32_t>(ring.vertices.size()));
    for (std::uint32_t i = topology.around_begin[v]; i < topology.around_begin[v + 1]; ++i) {
      const Triangle& t = mesh.triangles[topology.around[i]];
      for (std::size_t k = 0; k < 3; ++k) {
        if (t[k] == v) ring.vertices.push_back(t[(k + 1) % 3]);
      }
    }
  }
  ring.begin.push_back(static_cast<std::uint32_t>(ring.vertices.size()));
  return ring;
}

/// Signed mean curvature estimate in 1/mm, positive on ridges: for an umbrella of edges d to the neighbours, a sphere
/// of radius r gives -n.d = d^2 / (2 r).
std::vector<float> curvature(const Surface& surface, const Ring& ring) {
  const std::vector<Vec3f>& p = surface.mesh().positions;
  std::vector<float> values(p.size(), 0.0f);
  for (std::size_t v = 0; v < p.size(); ++v) {
    float down = 0, length_sq = 0;
    for (std::uint32_t i = ring.begin[v]; i < ring.begin[v + 1]; ++i) {
      const Vec3f d = p[ring.vertices[i]] - p[v];
      down -= surface.normals()[v].dot(d);
      length_sq += d.squaredNorm();
    }
    if (length_sq > 0) values[v] = 2 * down / length_sq;
  }
  return values;
}

void average(const Ring& ring, std::vector<float>& values, std::vector<float>& scratch) {
  for (std::size_t v = 0; v < values.size(); ++v) {
    float sum = values[v];
    for (std::uint32_t i = ring.begin[v]; i < ring.begin[v + 1]; ++i) sum += values[ring.vertices[i]];
    scratch[v] = sum / static_cast<float>(1 + ring.begin[v + 1] - ring.begin[v]);
  }
  values.swap(scratch);
}

/// Squashes to (-1, 1); cheaper than tanh and the same in every build.
float squashed(float x) {
  return x / (1 + std::abs(x));
}

}  // namespace

std::vector<float> cavity_shading(const Surface& surface) {
  const Ring ring = make_ring(surface.mesh(), surface.topology());
  std::vector<float> values = curvature(surface, ring), scratch(values.size());
  std::vector<float> shade(values.size(), 0.5f);
  struct Scale {
    int rounds;       ///< since the scale before
    float length_mm;  ///< radius of curvature that counts as half dark
    float weight;     ///< of the full range 0.5
  };
  for (const Scale& scale : {Scale{1, 0.4f, 0.15f}, Scale{3, 0.8f, 0.2f}, Scale{12, 1.6f, 0.15f}}) {
    for (int i = 0; i < scale.rounds; ++i) average(ring, values, scratch);
    for (std::size_t v = 0; v < shade.size(); ++v) shade[v] += scale.weight * squashed(scale.length_mm * values[v]);
  }
  return shade;
}

}  // namespace intercusp
