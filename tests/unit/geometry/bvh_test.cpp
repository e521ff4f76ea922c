#include "geometry/bvh.h"

#include <doctest/doctest.h>

#include "geometry/surface.h"
#include "geometry/triangle_closest.h"
#include "shapes.h"

using namespace intercusp;

namespace {

double by_brute_force(const Mesh& mesh, const Vec3& q) {
  double best = shapes::kFar;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    best = std::min(best, closest_on_triangle(mesh.corner(t, 0), mesh.corner(t, 1), mesh.corner(t, 2), q).distance_sq);
  }
  return std::sqrt(best);
}
}  // namespace

TEST_CASE("the hierarchy finds what trying every triangle finds") {
  const Mesh mesh = shapes::joined(shapes::sphere({1, 2, 3}, 2, 4), shapes::box({-3, -3, -3}, {-1, 0, 1}));
  const Bvh bvh(mesh);
  shapes::Random random(1);
  for (int i = 0; i < 500; ++i) {
    const Vec3 q = random.point(6);
    ClosestPoint found, hinted;
    REQUIRE(bvh.closest(mesh, q, shapes::kFar, found));
    const double expected = by_brute_force(mesh, q);
    CHECK(found.distance_mm == doctest::Approx(expected).epsilon(1e-12));
    CHECK((found.point - q).norm() == doctest::Approx(expected).epsilon(1e-12));
    CHECK_FALSE(bvh.closest(mesh, q, expected * 0.999, found));
    CHECK(bvh.any_within(q, expected * 1.001));
    CHECK_FALSE(bvh.any_within(q, expected * 0.999));
    REQUIRE(bvh.closest_from(mesh, q, shapes::kFar, static_cast<std::uint32_t>(i) % 1000, hinted));
    CHECK(hinted.distance_mm == doctest::Approx(expected).epsilon(1e-12));
  }
}

TEST_CASE("the nearest feature of a triangle is named") {
  const Vec3 a(0, 0, 0), b(4, 0, 0), c(0, 4, 0);
  const auto feature = [&](double x, double y) { return closest_on_triangle(a, b, c, {x, y, 1}).feature; };
  CHECK(feature(-1, -1) == 0);
  CHECK(feature(6, -1) == 1);
  CHECK(feature(-1, 6) == 2);
  CHECK(feature(2, -1) == 3);
  CHECK(feature(3, 3) == 4);
  CHECK(feature(-1, 2) == 5);
  CHECK(feature(1, 1) == 6);
}

TEST_CASE("triangles without area still have a closest point") {
  const TrianglePoint p = closest_on_triangle({0, 0, 0}, {1, 0, 0}, {3, 0, 0}, {2, 1, 0});
  CHECK(p.distance_sq == doctest::Approx(1));
  const TrianglePoint q = closest_on_triangle({1, 1, 1}, {1, 1, 1}, {1, 1, 1}, {1, 1, 3});
  CHECK(q.distance_sq == doctest::Approx(4));
}

TEST_CASE("rays meet the sphere where algebra says") {
  const Mesh mesh = shapes::sphere(Vec3::Zero(), 2, 5);
  const Bvh bvh(mesh);
  shapes::Random random(2);
  for (int i = 0; i < 300; ++i) {
    const Vec3 origin = random.point(1), direction = random.point(1).normalized();
    RayHit hit;
    REQUIRE(bvh.ray(mesh, origin, direction, 100, hit));
    const double b = origin.dot(direction), t = -b + std::sqrt(b * b - origin.squaredNorm() + 4);
    CHECK(std::abs(hit.t - t) < 0.01);  // sag of the facets: 2 (1 - cos(45 deg / 32)) = 0.0006, more at a slant
    CHECK_FALSE(bvh.ray(mesh, origin, direction, hit.t * 0.99, hit));
  }
  RayHit hit;
  CHECK_FALSE(bvh.ray(mesh, {3, 0, 0}, Vec3::UnitX(), 100, hit));
  CHECK(bvh.ray(mesh, {3, 0, 0}, -Vec3::UnitX(), 100, hit));
}

TEST_CASE("a ray meets what it meets when every triangle is asked, also along the axes and in the planes of faces") {
  const Mesh mesh = shapes::sphere(Vec3(40, -25, 10), 2, 3);
  const Bvh bvh(mesh);
  shapes::Random random(7);
  for (int i = 0; i < 600; ++i) {
    Vec3 origin = Vec3(40, -25, 10) + random.point(3), direction = random.point(1).normalized();
    if (i % 3 == 0) direction = Vec3::Unit(i % 9 / 3) * (i % 2 ? 1.0 : -1.0);
    if (i % 4 == 0) origin = mesh.corner(static_cast<std::size_t>(i) % mesh.triangles.size(), i % 3);
    const double limit = i % 5 ? 100 : 1.5;
    RayHit all, hit;
    bool any = false;
    for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
      Mesh lone;
      for (const std::uint32_t v : mesh.triangles[t]) lone.positions.push_back(mesh.positions[v]);
      lone.triangles.push_back({0, 1, 2});
      const Bvh one(lone);
      RayHit there;
      if (!one.ray(mesh, origin, direction, limit, there) || (any && there.t >= all.t)) continue;
      any = true;
      all = {there.t, t};
    }
    REQUIRE(bvh.ray(mesh, origin, direction, limit, hit) == any);
    if (!any) continue;
    CHECK(hit.t == all.t);
    CHECK(hit.triangle == all.triangle);
  }
}

TEST_CASE("an empty mesh answers nothing") {
  const Bvh bvh{Mesh{}};
  ClosestPoint closest;
  RayHit hit;
  CHECK_FALSE(bvh.closest(Mesh{}, Vec3::Zero(), shapes::kFar, closest));
  CHECK_FALSE(bvh.ray(Mesh{}, Vec3::Zero(), Vec3::UnitX(), shapes::kFar, hit));
  CHECK_FALSE(bvh.any_within(Vec3::Zero(), shapes::kFar));
}

TEST_CASE("many coincident triangles do not unbalance the hierarchy") {
  Mesh mesh = shapes::sheet(1, 0, 1);
  for (int i = 0; i < 2000; ++i) mesh.triangles.push_back(mesh.triangles[0]);
  const Bvh bvh(mesh);
  ClosestPoint closest;
  REQUIRE(bvh.closest(mesh, {0, 0, 2}, shapes::kFar, closest));
  CHECK(closest.distance_mm == doctest::Approx(2));
  const SurfacePtr surface = Surface::make(mesh);
  CHECK(surface->bvh().order().size() == 2);
  CHECK(surface->open_edges() == 4);
}
