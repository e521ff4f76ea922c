#include "geometry/shared_cells.h"

#include <doctest/doctest.h>

#include <array>
#include <map>
#include <random>

using namespace intercusp;

namespace {

/// Points spread over a box of 60 by 50 by 20 mm, many of them close together.
Mesh scattered(std::size_t count) {
  std::mt19937 engine(7);
  std::uniform_real_distribution<float> wide(-1, 1), narrow(-0.05f, 0.05f);
  Mesh mesh;
  for (std::size_t i = 0; i < count; ++i) {
    const bool near = i % 3 == 0 && i > 0;
    const Vec3f around = near ? mesh.positions[i - 1] : Vec3f(30 * wide(engine), 25 * wide(engine), 10 * wide(engine));
    mesh.positions.push_back(around + Vec3f(narrow(engine), narrow(engine), narrow(engine)));
  }
  return mesh;
}

/// The same grid by a plain map, cell by cell.
std::map<std::array<long, 3>, std::vector<std::size_t>> by_map(const Mesh& mesh, float side) {
  const Vec3f low = bounds(mesh).min().cast<float>();
  std::map<std::array<long, 3>, std::vector<std::size_t>> cells;
  for (std::size_t v = 0; v < mesh.positions.size(); ++v) {
    const Vec3f q = (mesh.positions[v] - low) / side;
    cells[{static_cast<long>(q.z()), static_cast<long>(q.y()), static_cast<long>(q.x())}].push_back(v);
  }
  return cells;
}

}  // namespace

TEST_CASE("vertices share cells as a map of the cells says, counted in a table and sorted") {
  const Mesh mesh = scattered(3000);
  // 2 mm: some 8,000 cells, a table; 0.2 mm: eight million, far more than 32 a vertex.
  for (const float side : {2.0f, 0.2f}) {
    const SharedCells cells = share_cells(mesh, side);
    const auto expected = by_map(mesh, side);
    REQUIRE(cells.middle.size() == expected.size());
    REQUIRE(cells.number.size() == mesh.positions.size());
    std::uint32_t next = 0;
    for (const auto& [place, vertices] : expected) {
      Vec3f sum = Vec3f::Zero();
      for (const std::size_t v : vertices) {
        CHECK(cells.number[v] == next);
        sum += mesh.positions[v];
      }
      CHECK((cells.middle[next] - sum / static_cast<float>(vertices.size())).norm() < 1e-5f);
      ++next;
    }
  }
}

TEST_CASE("no vertices share no cells, and one alone is its cell's middle") {
  Mesh mesh;
  CHECK(share_cells(mesh, 1).middle.empty());
  mesh.positions.push_back({3, -2, 7});
  const SharedCells cells = share_cells(mesh, 1);
  REQUIRE(cells.middle.size() == 1);
  CHECK(cells.middle[0] == mesh.positions[0]);
}
