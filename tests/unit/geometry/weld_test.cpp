#include "geometry/weld.h"

#include <doctest/doctest.h>

#include <limits>

using namespace intercusp;

namespace {

// Every triangle of a grid of n x n squares with corners of its own.
Mesh grid_soup(int n) {
  Mesh m;
  const auto add = [&m](int x, int y) {
    m.positions.push_back(Vec3f(0.1f * static_cast<float>(x), 0.1f * static_cast<float>(y), 0));
  };
  for (int y = 0; y < n; ++y) {
    for (int x = 0; x < n; ++x) {
      for (const auto& c : {std::pair{0, 0}, {1, 0}, {1, 1}, {0, 0}, {1, 1}, {0, 1}}) add(x + c.first, y + c.second);
    }
  }
  for (std::uint32_t i = 0; i < m.positions.size(); i += 3) m.triangles.push_back({i, i + 1, i + 2});
  return m;
}

Mesh moved_corners(const std::vector<Vec3f>& positions, const std::vector<Triangle>& triangles) {
  Mesh m;
  m.positions = positions;
  m.triangles = triangles;
  return m;
}

}  // namespace

// Computed: (n + 1)^2 grid points, 2 n^2 triangles of three corners each.
TEST_CASE("a grid of separate triangles becomes a grid of shared vertices") {
  const Welded welded = weld(grid_soup(50));
  CHECK(welded.mesh.positions.size() == 51 * 51);
  CHECK(welded.mesh.triangles.size() == 2 * 50 * 50);
  CHECK(welded.report.joined_vertices == 6 * 50 * 50 - 51 * 51);
  CHECK(welded.report.collapsed_triangles == 0);
  CHECK(surface_area(welded.mesh) == doctest::Approx(25.0).epsilon(1e-6));
}

TEST_CASE("welding a welded mesh changes nothing") {
  const Welded once = weld(grid_soup(10));
  const Welded twice = weld(once.mesh);
  CHECK(twice.mesh.positions == once.mesh.positions);
  CHECK(twice.mesh.triangles == once.mesh.triangles);
  CHECK(twice.report.joined_vertices == 0);
}

TEST_CASE("minus zero equals zero and is stored as zero") {
  const Welded welded =
      weld(moved_corners({{-0.0f, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, -0.0f, -0.0f}, {0, 0, 1}}, {{0, 1, 2}, {3, 2, 4}}));
  CHECK(welded.mesh.positions.size() == 4);
  CHECK_FALSE(std::signbit(welded.mesh.positions[0][0]));
}

TEST_CASE("neighbouring floats stay apart without a tolerance") {
  const float next = std::nextafter(1.0f, 2.0f);
  const Mesh mesh = moved_corners({{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {next, 0, 0}}, {{0, 1, 2}, {0, 3, 2}});
  CHECK(weld(mesh).mesh.positions.size() == 4);
  CHECK(weld(mesh, 1e-6).mesh.positions.size() == 3);
}

TEST_CASE("triangles that collapse and points that nothing uses are left out and counted") {
  Mesh mesh = moved_corners({{9, 9, 9}, {0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 0}}, {{1, 2, 3}, {1, 4, 2}, {2, 2, 3}});
  mesh.colours = {{1, 1, 1, 1}, {2, 2, 2, 2}, {3, 3, 3, 3}, {4, 4, 4, 4}, {5, 5, 5, 5}};
  const Welded welded = weld(mesh);
  CHECK(welded.mesh.triangles == std::vector<Triangle>{{0, 1, 2}});
  CHECK(welded.report.collapsed_triangles == 2);
  CHECK(welded.report.unused_vertices == 1);
  CHECK(welded.report.joined_vertices == 1);
  CHECK(welded.mesh.colours == std::vector<Colour>{{2, 2, 2, 2}, {3, 3, 3, 3}, {4, 4, 4, 4}});
}

TEST_CASE("what only a collapsed triangle used goes with it, and the order is that of first use") {
  const Mesh mesh =
      moved_corners({{0, 0, 0}, {1, 0, 0}, {0, 0, 0}, {0, 1, 0}, {5, 5, 5}}, {{0, 2, 1}, {4, 4, 0}, {3, 0, 1}});
  const Welded welded = weld(mesh);
  CHECK(welded.mesh.positions == std::vector<Vec3f>{{0, 1, 0}, {0, 0, 0}, {1, 0, 0}});
  CHECK(welded.mesh.triangles == std::vector<Triangle>{{0, 1, 2}});
  CHECK(welded.report.collapsed_triangles == 2);
  CHECK(welded.report.joined_vertices == 1);
  CHECK(welded.report.unused_vertices == 1);
}

TEST_CASE("with a tolerance, shaken corners join over cell borders and nothing farther does") {
  Mesh shaken = grid_soup(30);
  std::uint64_t state = 7;
  for (Vec3f& p : shaken.positions) {
    for (int k = 0; k < 3; ++k) {
      state = state * 6364136223846793005u + 1442695040888963407u;
      p[k] += 1e-4f * (static_cast<float>(state >> 40) / 8388608.0f - 1.0f);
    }
  }
  CHECK(weld(shaken).mesh.positions.size() > 5000);
  const Welded welded = weld(shaken, 1e-3);
  CHECK(welded.mesh.positions.size() == 31 * 31);
  CHECK(welded.mesh.triangles.size() == 2 * 30 * 30);
}

TEST_CASE("coordinates of any size and kind are handled") {
  const float huge = std::numeric_limits<float>::max(), inf = std::numeric_limits<float>::infinity();
  const float nan = std::numeric_limits<float>::quiet_NaN();
  const Mesh mesh =
      moved_corners({{huge, -huge, huge}, {inf, 0, 0}, {nan, 0, 0}, {1e-40f, 0, 0}}, {{0, 1, 2}, {1, 2, 3}});
  CHECK(weld(mesh).mesh.positions.size() == 4);
  CHECK(weld(mesh, 1e-6).mesh.triangles.size() == 2);
  CHECK(weld(Mesh{}).mesh.positions.empty());
}
