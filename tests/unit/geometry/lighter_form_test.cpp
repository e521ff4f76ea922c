#include "geometry/lighter_form.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "geometry/shapes.h"

using namespace intercusp;
using namespace intercusp::shapes;

namespace {

/// The farthest of a mesh's corners from a surface, asked one by one: independent of how the form was measured.
double farthest_corner(const Mesh& mesh, const Surface& surface) {
  double far = 0;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    ClosestPoint closest;
    REQUIRE(surface.bvh().closest(surface.mesh(), mesh.corner(t, 0), 1e9, closest));
    far = std::max(far, closest.distance_mm);
  }
  return far;
}

}  // namespace

TEST_CASE("a lighter form of a ball is closed, near it, and has the ball's volume nearly") {
  const SurfacePtr ball = Surface::make(sphere(Vec3(3, -2, 7), 20, 6));
  const LighterForm light = lighter_form(ball, 0.05, 0.3);
  REQUIRE(light.surface != ball);
  CHECK(light.surface->closed());
  CHECK(light.surface->mesh().triangles.size() * 5 < ball->mesh().triangles.size());
  CHECK(light.off_mm <= 0.3);
  CHECK(farthest_corner(ball->mesh(), *light.surface) <= light.off_mm + 1e-6);
  CHECK(farthest_corner(light.surface->mesh(), *ball) == doctest::Approx(0).epsilon(1e-6));
  // A layer of 0.05 mm on a ball of 20 mm is 0.75 % of it.
  CHECK(signed_volume(light.surface->mesh()) == doctest::Approx(signed_volume(ball->mesh())).epsilon(0.0075));
}

TEST_CASE("what cannot be lighter stays itself, also nothing") {
  const SurfacePtr cube = Surface::make(box({0, 0, 0}, {10, 10, 10}));
  CHECK(lighter_form(cube, 0.05, 0.3).surface->mesh().triangles.size() == cube->mesh().triangles.size());
  const SurfacePtr ball = Surface::make(sphere(Vec3::Zero(), 20, 4));
  const LighterForm exact = lighter_form(ball, 5, 1e-7);  // nothing lighter is so near
  CHECK(exact.surface == ball);
  CHECK(exact.off_mm == 0);
  const SurfacePtr nothing = Surface::make(Mesh());
  CHECK(lighter_form(nothing, 0.05, 0.3).surface == nothing);
}

TEST_CASE("an open surface stays open, and its flat part costs two triangles") {
  constexpr double kHalf = 20;
  const SurfacePtr flat = Surface::make(sheet(kHalf, 1, 40));
  const LighterForm light = lighter_form(flat, 0.05, 0.3);
  CHECK(!light.surface->closed());
  CHECK(light.surface->mesh().triangles.size() < 40);
  CHECK(surface_area(light.surface->mesh()) == doctest::Approx(4 * kHalf * kHalf).epsilon(0.002));
}
