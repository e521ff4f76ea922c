#include "geometry/shared_cells.h"

#include <algorithm>
#include <array>

namespace intercusp {
namespace {

constexpr std::uint64_t kCellsAVertex = 32;  ///< up to so many the cells are counted in a table, beyond they are sorted

/// A grid laid over a mesh.
struct CellGrid {
  Vec3f low;
  float side;
  std::array<std::uint64_t, 3> count;

  std::array<std::uint64_t, 3> cell_of(const Vec3f& p) const {
    const Vec3f q = (p - low) / side;
    return {static_cast<std::uint64_t>(q.x()), static_cast<std::uint64_t>(q.y()), static_cast<std::uint64_t>(q.z())};
  }
  std::uint64_t key_of(const Vec3f& p) const {
    const auto [i, j, k] = cell_of(p);
    return (k * count[1] + j) * count[0] + i;
  }
  std::uint64_t cells() const { return count[0] * count[1] * count[2]; }
};

CellGrid grid_over(const Mesh& mesh, double cell) {
  const Box box = bounds(mesh);
  CellGrid grid{box.min().cast<float>(), static_cast<float>(cell), {}};
  grid.count = grid.cell_of(box.max().cast<float>());
  for (std::uint64_t& count : grid.count) ++count;
  return grid;
}

/// Numbers the cells in the order of their keys. How many there are.
std::uint32_t number_by_table(const std::vector<std::uint64_t>& key, std::uint64_t cells,
                              std::vector<std::uint32_t>& number) {
  std::vector<std::uint32_t> table(cells, 0);
  for (const std::uint64_t k : key) table[k] = 1;
  std::uint32_t next = 0;
  for (std::uint32_t& entry : table) {
    const std::uint32_t used = entry;
    entry = next;
    next += used;
  }
  for (std::size_t v = 0; v < key.size(); ++v) number[v] = table[key[v]];
  return next;
}

/// The same without room for cells that hold nothing.
std::uint32_t number_by_order(const std::vector<std::uint64_t>& key, std::vector<std::uint32_t>& number) {
  std::vector<std::uint64_t> used = key;
  std::sort(used.begin(), used.end());
  used.erase(std::unique(used.begin(), used.end()), used.end());
  for (std::size_t v = 0; v < key.size(); ++v)
    number[v] = static_cast<std::uint32_t>(std::lower_bound(used.begin(), used.end(), key[v]) - used.begin());
  return static_cast<std::uint32_t>(used.size());
}

}  // namespace

SharedCells share_cells(const Mesh& mesh, double cell) {
  SharedCells cells;
  if (mesh.positions.empty()) return cells;
  const CellGrid grid = grid_over(mesh, cell);
  std::vector<std::uint64_t> key(mesh.positions.size());
  for (std::size_t v = 0; v < key.size(); ++v) key[v] = grid.key_of(mesh.positions[v]);
  cells.number.resize(key.size());
  const bool few = grid.cells() <= kCellsAVertex * key.size();
  const std::uint32_t count =
      few ? number_by_table(key, grid.cells(), cells.number) : number_by_order(key, cells.number);
  cells.middle.assign(count, Vec3f::Zero());
  std::vector<float> shared(count, 0);
  for (std::size_t v = 0; v < key.size(); ++v) {
    cells.middle[cells.number[v]] += mesh.positions[v];
    shared[cells.number[v]] += 1;
  }
  for (std::uint32_t c = 0; c < count; ++c) cells.middle[c] /= shared[c];
  return cells;
}

}  // namespace intercusp
