#include "anatomy/vertex_snap.h"

#include <limits>
#include <set>

#include "geometry/self_crossings.h"

namespace intercusp {

namespace {

std::size_t nearest_free_vertex(const Mesh& mesh, const Vec3f& p, const std::set<std::size_t>& taken) {
  std::size_t best = 0;
  float least = std::numeric_limits<float>::infinity();
  for (std::size_t i = 0; i < mesh.positions.size(); ++i) {
    const float d = (mesh.positions[i] - p).squaredNorm();
    if (d >= least || taken.count(i)) continue;
    least = d;
    best = i;
  }
  return best;
}

}  // namespace

void snap_vertices(Mesh& mesh, const std::vector<Vec3>& points) {
  std::set<std::size_t> taken;
  for (const Vec3& point : points) {
    const Vec3f p = point.cast<float>();
    bool there = false;
    for (const std::size_t vertex : taken) there = there || (mesh.positions[vertex] - p).squaredNorm() < 1e-8f;
    if (there || mesh.empty()) continue;
    const std::size_t vertex = nearest_free_vertex(mesh, p, taken);
    mesh.positions[vertex] = p;
    taken.insert(vertex);
  }
}

void snap_and_untangle(Mesh& mesh, const std::vector<Vec3>& points) {
  snap_vertices(mesh, points);
  std::vector<bool> fixed(mesh.positions.size(), false);
  for (const Vec3& point : points) {
    const Vec3f p = point.cast<float>();
    for (std::size_t v = 0; v < fixed.size(); ++v) fixed[v] = fixed[v] || mesh.positions[v] == p;
  }
  untangle(mesh, fixed);
}

}  // namespace intercusp
