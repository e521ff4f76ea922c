#include "app/render/cluster.h"

#include <algorithm>
#include <cmath>

#include "geometry/shared_cells.h"

namespace intercusp {

namespace {

std::vector<std::uint32_t> all_indices(const Mesh& mesh) {
  std::vector<std::uint32_t> out;
  out.reserve(mesh.triangles.size() * 3);
  for (const Triangle& t : mesh.triangles) out.insert(out.end(), t.begin(), t.end());
  return out;
}

// For every vertex the one that stands for its cell.
std::vector<std::uint32_t> representatives(const Mesh& mesh, double cell) {
  const SharedCells cells = share_cells(mesh, cell);
  constexpr std::uint32_t kNone = ~0u;
  std::vector<std::uint32_t> best(cells.middle.size(), kNone), stands(mesh.positions.size());
  const auto off = [&](std::uint32_t v) { return (mesh.positions[v] - cells.middle[cells.number[v]]).squaredNorm(); };
  for (std::uint32_t v = 0; v < stands.size(); ++v) {
    std::uint32_t& chosen = best[cells.number[v]];
    if (chosen == kNone || off(v) < off(chosen)) chosen = v;
  }
  for (std::size_t v = 0; v < stands.size(); ++v) stands[v] = best[cells.number[v]];
  return stands;
}

}  // namespace

std::vector<std::uint32_t> clustered_indices(const Mesh& mesh, std::size_t wanted) {
  if (mesh.triangles.size() <= wanted || mesh.positions.empty()) return all_indices(mesh);
  const Box box = bounds(mesh);
  // A surface cut by cells of side h leaves about two triangles for each h^2 of its area.
  const double cell =
      std::max(std::sqrt(2.0 * surface_area(mesh) / static_cast<double>(wanted)), box.sizes().maxCoeff() / 2000000.0);
  const auto stands = representatives(mesh, cell);
  std::vector<std::uint32_t> out;
  for (const Triangle& t : mesh.triangles) {
    const std::uint32_t a = stands[t[0]], b = stands[t[1]], c = stands[t[2]];
    if (a != b && b != c && c != a) out.insert(out.end(), {a, b, c});
  }
  return out;
}

}  // namespace intercusp
