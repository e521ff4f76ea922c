// Height maps against their definitions, node by node.
#include "geometry/height_map.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "shapes.h"

using namespace intercusp;

namespace {

constexpr float kUnknown = std::numeric_limits<float>::quiet_NaN();

/// A map of 23 x 17 nodes, a quarter of them unknown.
HeightMap random_map(std::uint64_t seed) {
  shapes::Random random(seed);
  HeightMap map(Box(Vec3(-3, 2, 0), Vec3(8, 10, 1)), 0.5, 0);
  for (std::size_t n = 0; n < map.size(); ++n)
    map[n] = random.uniform(0, 1) < 0.25 ? kUnknown : static_cast<float>(random.uniform(-5, 5));
  return map;
}

/// Of the values within `reach` nodes of (i, j) along both axes that are known.
std::vector<float> around(const HeightMap& map, long i, long j, long reach) {
  std::vector<float> found;
  for (long y = std::max(0L, j - reach); y <= std::min(map.rows() - 1, j + reach); ++y)
    for (long x = std::max(0L, i - reach); x <= std::min(map.columns() - 1, i + reach); ++x)
      if (!std::isnan(map.at(x, y))) found.push_back(map.at(x, y));
  return found;
}

}  // namespace

TEST_CASE("least_around finds the least known value of each square") {
  const HeightMap map = random_map(1);
  for (const long reach : {0L, 1L, 3L, 40L}) {
    CAPTURE(reach);
    const HeightMap least = least_around(map, 0.5 * static_cast<double>(reach));
    for (long j = 0; j < map.rows(); ++j) {
      for (long i = 0; i < map.columns(); ++i) {
        const std::vector<float> known = around(map, i, j, reach);
        CAPTURE(i);
        CAPTURE(j);
        if (known.empty()) {
          CHECK(std::isnan(least.at(i, j)));
        } else {
          CHECK(least.at(i, j) == *std::min_element(known.begin(), known.end()));
        }
      }
    }
  }
}

TEST_CASE("smoothed keeps a level plane level, and its means between the least and the most") {
  HeightMap level = random_map(2);
  for (std::size_t n = 0; n < level.size(); ++n) level[n] = std::isnan(level[n]) ? kUnknown : 2.5f;
  const HeightMap flat = smoothed(level, 1);
  for (std::size_t n = 0; n < flat.size(); ++n) CHECK(flat[n] == doctest::Approx(2.5));
  const HeightMap rough = random_map(3), smooth = smoothed(rough, 1);
  for (long j = 0; j < rough.rows(); ++j) {
    for (long i = 0; i < rough.columns(); ++i) {
      const std::vector<float> known = around(rough, i, j, 6);  // three windows of two nodes each
      const auto [low, high] = std::minmax_element(known.begin(), known.end());
      CHECK(smooth.at(i, j) >= *low - 1e-4f);
      CHECK(smooth.at(i, j) <= *high + 1e-4f);
    }
  }
}

TEST_CASE("smoothed spreads one height as three windows in a row do") {
  HeightMap map(Box(Vec3::Zero(), Vec3(12, 12, 0)), 1, 0);
  map.at(6, 6) = 27;
  const HeightMap smooth = smoothed(map, 1);
  // Three boxes of three nodes: 1 3 6 7 6 3 1 along each axis, of 27 in all.
  constexpr std::array<double, 7> kShare{1, 3, 6, 7, 6, 3, 1};
  for (long j = 0; j < 7; ++j)
    for (long i = 0; i < 7; ++i)
      CHECK(static_cast<double>(smooth.at(3 + i, 3 + j)) ==
            doctest::Approx(kShare[static_cast<std::size_t>(i)] * kShare[static_cast<std::size_t>(j)] / 27));
}

TEST_CASE("distance_to is the distance to the nearest node of a set") {
  const HeightMap shape = random_map(4);
  shapes::Random random(5);
  std::vector<bool> set(shape.size());
  for (std::size_t n = 0; n < set.size(); ++n) set[n] = random.uniform(0, 1) < 0.03;
  const HeightMap distance = distance_to(shape, set);
  for (std::size_t n = 0; n < shape.size(); ++n) {
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t m = 0; m < set.size(); ++m)
      if (set[m]) least = std::min(least, (shape.place(n) - shape.place(m)).norm());
    CHECK(static_cast<double>(distance[n]) == doctest::Approx(least).epsilon(1e-5));
  }
}

TEST_CASE("lower_to takes the underside of a tilted roof") {
  Mesh roof;
  roof.positions = {{0, 0, 1}, {4, 0, 3}, {4, 4, 3}, {0, 4, 1}, {0, 0, 9}, {4, 0, 9}, {0, 4, 9}};
  roof.triangles = {{0, 1, 2}, {0, 2, 3}, {4, 5, 6}};
  HeightMap map(Box(Vec3(-1, -1, 0), Vec3(5, 5, 0)), 0.5, kUnknown);
  map.lower_to(roof);
  for (std::size_t n = 0; n < map.size(); ++n) {
    const Eigen::Vector2d at = map.place(n);
    const bool over = at.minCoeff() >= 0 && at.maxCoeff() <= 4;
    CHECK(std::isnan(map[n]) == !over);
    if (over) CHECK(static_cast<double>(map[n]) == doctest::Approx(1 + 0.5 * at.x()));
  }
  CHECK(map.between(1.3, 2.2) == doctest::Approx(1.65));
}
