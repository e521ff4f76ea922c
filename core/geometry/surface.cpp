#include "geometry/surface.h"

#include <algorithm>
#include <cmath>

namespace intercusp {

bool without_area(const Vec3& a, const Vec3& b, const Vec3& c) {
  const double longest_sq = std::max({(b - a).squaredNorm(), (c - b).squaredNorm(), (a - c).squaredNorm()});
  return !((b - a).cross(c - a).norm() > 1e-13 * longest_sq);
}

std::shared_ptr<const Surface> Surface::make(Mesh mesh) {
  return std::shared_ptr<const Surface>(new Surface(std::move(mesh)));
}

Surface::Surface(Mesh mesh)
    : mesh_(std::move(mesh)),
      topology_(make_topology(mesh_)),
      bvh_(mesh_, topology_.set_aside),
      normals_(vertex_normals(mesh_)),
      box_(bounds(mesh_)),
      open_edges_(topology_.improper_edges) {
  find_pseudonormals();
  list_block_vertices();
}

void Surface::list_block_vertices() {
  std::vector<bool> seen(mesh_.positions.size(), false);
  block_vertices_.reserve(mesh_.positions.size());
  for (std::size_t slot = 0; slot < bvh_.order().size(); ++slot) {
    if (slot % 4 == 0) block_vertices_begin_.push_back(static_cast<std::uint32_t>(block_vertices_.size()));
    for (const std::uint32_t v : mesh_.triangles[bvh_.order()[slot]]) {
      if (!seen[v]) block_vertices_.push_back(v);
      seen[v] = true;
    }
  }
  block_vertices_begin_.push_back(static_cast<std::uint32_t>(block_vertices_.size()));
}

Vec3 Surface::scaled_normal(std::size_t triangle) const {
  const Vec3 a = mesh_.corner(triangle, 0);
  return (mesh_.corner(triangle, 1) - a).cross(mesh_.corner(triangle, 2) - a);
}

void Surface::find_pseudonormals() {
  pseudonormals_.assign(mesh_.positions.size(), Vec3::Zero());
  doubtful_.assign(mesh_.positions.size(), false);
  for (std::size_t t = 0; t < mesh_.triangles.size(); ++t) {
    if (topology_.set_aside[t]) continue;
    const Vec3 p[3] = {mesh_.corner(t, 0), mesh_.corner(t, 1), mesh_.corner(t, 2)};
    const bool flat = without_area(p[0], p[1], p[2]);
    const Vec3 normal = flat ? Vec3::Zero() : Vec3((p[1] - p[0]).cross(p[2] - p[0]).normalized());
    for (std::size_t k = 0; k < 3; ++k) {
      const std::uint32_t v = mesh_.triangles[t][k];
      if (flat) doubtful_[v] = true;
      const Vec3 u = p[(k + 1) % 3] - p[k], w = p[(k + 2) % 3] - p[k];
      if (!flat) pseudonormals_[v] += std::atan2(u.cross(w).norm(), u.dot(w)) * normal;
    }
  }
  doubt_folds();
}

/// Where a surface turns back on itself as sharply as this it mostly passes through itself, and its normals say
/// nothing of inside and outside.
void Surface::doubt_folds() {
  constexpr double kFolded = -0.4;
  for (std::uint32_t t = 0; t < mesh_.triangles.size(); ++t) {
    for (std::size_t k = 0; k < 3; ++k) {
      const std::uint32_t other = topology_.neighbours[t][k];
      if (other == kNoTriangle || other < t) continue;
      const Vec3 n = scaled_normal(t), m = scaled_normal(other);
      const double along = n.dot(m);
      if (along >= 0 || along * along < kFolded * kFolded * n.squaredNorm() * m.squaredNorm()) continue;
      doubtful_[mesh_.triangles[t][k]] = doubtful_[mesh_.triangles[t][(k + 1) % 3]] = true;
    }
  }
}

}  // namespace intercusp
