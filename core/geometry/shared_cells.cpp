#include "geometry/shared_cells.h"

#include <algorithm>
#include <utility>

namespace intercusp {

SharedCells share_cells(const Mesh& mesh, double cell) {
  SharedCells cells;
  if (mesh.positions.empty()) return cells;
  const Vec3f low = bounds(mesh).min().cast<float>();
  const auto side = static_cast<float>(cell);
  std::vector<std::pair<std::uint64_t, std::uint32_t>> keyed(mesh.positions.size());
  for (std::uint32_t v = 0; v < keyed.size(); ++v) {
    const Vec3f q = (mesh.positions[v] - low) / side;
    const auto along = [&q](int axis) { return static_cast<std::uint64_t>(q[axis]); };
    keyed[v] = {(along(2) << 42) | (along(1) << 21) | along(0), v};
  }
  std::sort(keyed.begin(), keyed.end());
  cells.number.resize(keyed.size());
  for (std::size_t begin = 0, end = 0; begin < keyed.size(); begin = end) {
    Vec3f sum = Vec3f::Zero();
    for (end = begin; end < keyed.size() && keyed[end].first == keyed[begin].first; ++end) {
      cells.number[keyed[end].second] = static_cast<std::uint32_t>(cells.middle.size());
      sum += mesh.positions[keyed[end].second];
    }
    cells.middle.push_back(sum / static_cast<float>(end - begin));
  }
  return cells;
}

}  // namespace intercusp
