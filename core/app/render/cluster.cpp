#include "app/render/cluster.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace intercusp {

namespace {

std::vector<std::uint32_t> all_indices(const Mesh& mesh) {
  std::vector<std::uint32_t> out;
  out.reserve(mesh.triangles.size() * 3);
  for (const Triangle& t : mesh.triangles) out.insert(out.end(), t.begin(), t.end());
  return out;
}

// Cell of every vertex; a cell's key is unique for grids up to 2^21 a side.
std::vector<std::uint64_t> cells(const Mesh& mesh, const Vec3f& low, float cell) {
  std::vector<std::uint64_t> keys(mesh.positions.size());
  for (std::size_t i = 0; i < keys.size(); ++i) {
    const Vec3f q = (mesh.positions[i] - low) / cell;
    keys[i] = (static_cast<std::uint64_t>(q.x()) << 42) | (static_cast<std::uint64_t>(q.y()) << 21) |
              static_cast<std::uint64_t>(q.z());
  }
  return keys;
}

// For every vertex the one that stands for its cell.
std::vector<std::uint32_t> representatives(const Mesh& mesh, const std::vector<std::uint64_t>& keys) {
  std::vector<std::uint32_t> order(keys.size()), stands(keys.size());
  std::iota(order.begin(), order.end(), 0u);
  std::stable_sort(order.begin(), order.end(), [&](auto a, auto b) { return keys[a] < keys[b]; });
  for (std::size_t begin = 0, end = 0; begin < order.size(); begin = end) {
    Vec3f mean = Vec3f::Zero();
    for (end = begin; end < order.size() && keys[order[end]] == keys[order[begin]]; ++end)
      mean += mesh.positions[order[end]];
    mean /= static_cast<float>(end - begin);
    std::uint32_t best = order[begin];
    for (std::size_t i = begin; i < end; ++i)
      if ((mesh.positions[order[i]] - mean).squaredNorm() < (mesh.positions[best] - mean).squaredNorm())
        best = order[i];
    for (std::size_t i = begin; i < end; ++i) stands[order[i]] = best;
  }
  return stands;
}

}  // namespace

std::vector<std::uint32_t> clustered_indices(const Mesh& mesh, std::size_t wanted) {
  if (mesh.triangles.size() <= wanted || mesh.positions.empty()) return all_indices(mesh);
  const Box box = bounds(mesh);
  // A surface cut by cells of side h leaves about two triangles for each h^2 of its area.
  const double cell =
      std::max(std::sqrt(2.0 * surface_area(mesh) / static_cast<double>(wanted)), box.sizes().maxCoeff() / 2000000.0);
  const auto stands = representatives(mesh, cells(mesh, box.min().cast<float>(), static_cast<float>(cell)));
  std::vector<std::uint32_t> out;
  for (const Triangle& t : mesh.triangles) {
    const std::uint32_t a = stands[t[0]], b = stands[t[1]], c = stands[t[2]];
    if (a != b && b != c && c != a) out.insert(out.end(), {a, b, c});
  }
  return out;
}

}  // namespace intercusp
