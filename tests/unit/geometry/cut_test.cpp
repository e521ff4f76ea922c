#include "geometry/cut.h"

#include <doctest/doctest.h>

#include "geometry/cut_scenes.h"
#include "geometry/mesh_check.h"
#include "geometry/polygon_fill.h"
#include "geometry/shapes.h"

using namespace intercusp;
using doctest::Approx;

namespace {

const CutResult& sound(const Result<CutResult>& result) {
  REQUIRE_MESSAGE(result.ok(), (result.ok() ? "" : result.error().sentence()));
  for (const Mesh* part : {&result.value().positive, &result.value().negative}) {
    const MeshCheck check = check_mesh(*part);
    CHECK(check.closed());
    CHECK(check.inward_shells == 0);
    CHECK(check.degenerate_triangles == 0);
    CHECK(check.duplicate_triangles == 0);
    CHECK(check.unused_vertices == 0);
  }
  return result.value();
}

double volumes(const CutResult& r) {
  return signed_volume(r.positive) + signed_volume(r.negative);
}

}  // namespace

TEST_CASE("a box is halved by a plane, also by one that runs through its corners") {
  const Mesh box = shapes::box({0, 0, 0}, {10, 8, 6});
  const auto across = cut_mesh(box, CutSurface::plane({0, 0, 2}, Vec3::UnitZ()), 0);
  const CutResult& r = sound(across);
  CHECK(signed_volume(r.positive) == Approx(320).epsilon(1e-6));
  CHECK(signed_volume(r.negative) == Approx(160).epsilon(1e-6));
  CHECK(r.positive_at_mm == 0);
  CHECK(r.negative_at_mm == 0);
  const auto diagonal = cut_mesh(box, CutSurface::plane({0, 0, 0}, Vec3(8, -10, 0)), 0);
  CHECK(volumes(sound(diagonal)) == Approx(480).epsilon(1e-6));
  CHECK(std::abs(diagonal.value().positive_at_mm) <= kMostShift);
  CHECK(std::abs(signed_volume(diagonal.value().positive) - 240) < 80 * kMostShift);
}

TEST_CASE("the kerf takes away the saw's thickness times the section") {
  const Mesh box = shapes::box({0, 0, 0}, {10, 8, 6});
  const auto level = cut_mesh(box, CutSurface::plane({0, 0, 2}, Vec3::UnitZ()), 0.7);
  const CutResult& l = sound(level);
  CHECK(volumes(l) == Approx(480 - 80 * (l.positive_at_mm - l.negative_at_mm)).epsilon(1e-6));
  CHECK(l.positive_at_mm - l.negative_at_mm == Approx(0.7).epsilon(0.006));
  const Vec3 tilted(0.3, 0, 1);  // cuts the box's height everywhere: the section is 80 / cos
  const auto slanted = cut_mesh(box, CutSurface::plane({5, 4, 3}, tilted), 0.5);
  CHECK(volumes(sound(slanted)) == Approx(480 - 0.5 * 80 * tilted.norm()).epsilon(1e-6));
}

// Worked by hand: the step is 1 mm high and stands at x = 4; below it lies 4*8*2 + 6*8*3 = 208.
TEST_CASE("a stepped cut meets its wall, and the kerf is mitred at both folds") {
  const Mesh box = shapes::box({0, 0, 0}, {10, 8, 6});
  const CutSurface step =
      CutSurface::stepped(CutSurface::plane({4, 0, 0}, Vec3::UnitX()), CutSurface::plane({0, 0, 2}, Vec3::UnitZ()),
                          CutSurface::plane({0, 0, 3}, Vec3::UnitZ()));
  const auto thin = cut_mesh(box, step, 0);
  CHECK(signed_volume(sound(thin).negative) == Approx(208).epsilon(1e-6));
  CHECK(volumes(thin.value()) == Approx(480).epsilon(1e-6));
  // Lower side: 8 * ((4.25) * 1.75 + 5.75 * 2.75), upper side: 8 * (3.75 * 3.75 + 6.25 * 2.75).
  const auto sawn = cut_mesh(box, step, 0.5);
  CHECK(signed_volume(sound(sawn).negative) == Approx(8 * (4.25 * 1.75 + 5.75 * 2.75)).epsilon(1e-6));
  CHECK(signed_volume(sawn.value().positive) == Approx(8 * (3.75 * 3.75 + 6.25 * 2.75)).epsilon(1e-6));
}

// Three planes that meet within the body: an octant is cut out of a cube of 10.
TEST_CASE("three planes meet in a corner within the body") {
  const Mesh box = shapes::box({0, 0, 0}, {10, 10, 10});
  const CutSurface corner = CutSurface::both(
      CutSurface::plane({4, 0, 0}, Vec3::UnitX()),
      CutSurface::both(CutSurface::plane({0, 5, 0}, Vec3::UnitY()), CutSurface::plane({0, 0, 7}, Vec3::UnitZ())));
  const auto cut = cut_mesh(box, corner, 0);
  CHECK(signed_volume(sound(cut).positive) == Approx(6 * 5 * 3).epsilon(1e-6));
  CHECK(volumes(cut.value()) == Approx(1000).epsilon(1e-6));
}

TEST_CASE("a section with holes: a hollow ball is halved, its inner wall stays with it") {
  Mesh ball = shapes::sphere({1, 2, 3}, 10, 5);
  const Mesh inner = shapes::sphere({1, 2, 3.5}, 6, 4);
  const auto offset = static_cast<std::uint32_t>(ball.positions.size());
  ball.positions.insert(ball.positions.end(), inner.positions.begin(), inner.positions.end());
  for (const Triangle& t : inner.triangles) ball.triangles.push_back({t[0] + offset, t[2] + offset, t[1] + offset});
  const double whole = signed_volume(ball);
  const auto cut = cut_mesh(ball, CutSurface::plane({1, 2, 3}, Vec3(0.2, -0.1, 1)), 0);
  CHECK(volumes(sound(cut)) == Approx(whole).epsilon(1e-6));
  CHECK(solid_parts(cut.value().positive).size() == 1);
  CHECK(solid_parts(ball).size() == 1);
}

TEST_CASE("what cannot be cut is said: a miss, an open surface") {
  const Mesh box = shapes::box({0, 0, 0}, {10, 8, 6});
  const auto miss = cut_mesh(box, CutSurface::plane({0, 0, 7}, Vec3::UnitZ()), 0.5);
  REQUIRE_FALSE(miss.ok());
  CHECK(miss.error().what.find("misses") != std::string::npos);
  Mesh open = box;
  open.triangles.resize(8);
  const auto torn = cut_mesh(open, CutSurface::plane({0, 0, 3}, Vec3::UnitZ()), 0);
  REQUIRE_FALSE(torn.ok());
  CHECK(torn.error().what.find("open") != std::string::npos);
  const auto sides = cut_open_mesh(open, CutSurface::plane({0, 0, 3}, Vec3::UnitZ()), 0);
  REQUIRE(sides.ok());
  CHECK(surface_area(sides.value().positive) + surface_area(sides.value().negative) ==
        Approx(surface_area(open)).epsilon(1e-6));
}

TEST_CASE("parts of a body come largest first") {
  Mesh two = shapes::box({0, 0, 0}, {1, 1, 1});
  const Mesh large = shapes::box({5, 0, 0}, {9, 2, 2});
  for (const Triangle& t : large.triangles) two.triangles.push_back({t[0] + 8, t[1] + 8, t[2] + 8});
  two.positions.insert(two.positions.end(), large.positions.begin(), large.positions.end());
  const auto parts = solid_parts(two);
  REQUIRE(parts.size() == 2);
  CHECK(signed_volume(parts[0]) == Approx(16));
  CHECK(signed_volume(parts[1]) == Approx(1));
}

TEST_CASE("random cuts of pebbles conserve the volume and close, plane and bent") {
  int cut = 0;
  for (std::uint64_t seed = 1; seed <= 12; ++seed) {
    const cut_scenes::Scene scene = cut_scenes::random_scene(seed);
    const auto thin = cut_mesh(scene.mesh, scene.surface, 0);
    if (!thin.ok() && thin.error().what.find("misses") != std::string::npos) continue;
    CAPTURE(seed);
    const double whole = signed_volume(scene.mesh);
    CHECK(std::abs(volumes(sound(thin)) - whole) < 1e-6 * whole);
    sound(cut_mesh(scene.mesh, scene.surface, scene.kerf_mm));
    ++cut;
  }
  CHECK(cut >= 10);
}

TEST_CASE("a region of several outlines and holes is filled without a thin or turned triangle") {
  // A square with a square hole, corners in line on the rim, and a second square beside it.
  std::vector<Eigen::Vector2d> points{{0, 0}, {2, 0}, {4, 0}, {4, 4}, {2, 4}, {0, 4},   {1, 1},
                                      {1, 3}, {3, 3}, {3, 1}, {5, 1}, {6, 1}, {6, 3.5}, {5, 3.5}};
  const std::vector<PolygonEdge> edges{{0, 1}, {1, 2}, {2, 3}, {3, 4},   {4, 5},   {5, 0},   {6, 7},
                                       {7, 8}, {8, 9}, {9, 6}, {10, 11}, {11, 12}, {12, 13}, {13, 10}};
  auto triangles = fill_polygon(points, edges);
  REQUIRE(triangles.has_value());
  flip_to_round(points, *triangles);
  double area = 0;
  for (const Triangle& t : *triangles) {
    const Eigen::Vector2d u = points[t[1]] - points[t[0]], v = points[t[2]] - points[t[0]];
    const double twice = u.x() * v.y() - u.y() * v.x();
    CHECK(twice > 0);
    area += 0.5 * twice;
  }
  CHECK(area == Approx(16 - 4 + 2.5));
  CHECK(triangles->size() == 6 + 4 + 2);  // corners less two, and two more for the hole
}

TEST_CASE("edges that bound no region are refused") {
  const std::vector<Eigen::Vector2d> points{{0, 0}, {4, 0}, {4, 4}, {0, 4}, {2, 0}};
  CHECK_FALSE(fill_polygon(points, {{0, 1}, {1, 2}}).has_value());                          // open
  CHECK_FALSE(fill_polygon(points, {{0, 1}, {1, 3}, {3, 2}, {2, 0}}).has_value());          // crosses itself
  CHECK_FALSE(fill_polygon(points, {{0, 1}, {1, 2}, {2, 4}, {4, 3}, {3, 0}}).has_value());  // touches itself
  CHECK_FALSE(fill_polygon(points, {{1, 0}, {0, 3}, {3, 2}, {2, 1}}).has_value());          // turned inside out
  CHECK(fill_polygon(points, {{0, 4}, {4, 1}, {1, 2}, {2, 3}, {3, 0}}).has_value());
}
