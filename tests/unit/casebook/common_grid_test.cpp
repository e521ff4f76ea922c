// Generated cases that differ by rounding alone are the same case.
#include "casebook/common_grid.h"

#include <doctest/doctest.h>

#include <cmath>

#include "casebook/recipe_link.h"
#include "geometry/shapes.h"

namespace intercusp {

TEST_CASE("a generated case stands on a grid that rounding does not leave") {
  const Case made = case_from_sample("class3", std::nullopt, 20000, false).value();
  shapes::Random random(5);
  Mesh mesh = made.find_body("upper_arch")->surface->mesh();
  const Mesh before = mesh;
  for (Vec3f& p : mesh.positions) {
    // What float keeps of another build's rounding: nothing far from zero, all of it near zero.
    for (int k = 0; k < 3; ++k) p[k] = static_cast<float>(p[k] + random.uniform(-3e-14, 3e-14));
  }
  put_on_common_grid(mesh);
  CHECK(mesh.positions == before.positions);
  LandmarkSet landmarks = made.landmarks;
  for (auto& [name, landmark] : landmarks) landmark.at += Vec3::Constant(random.uniform(-3e-14, 3e-14));
  put_on_common_grid(landmarks);
  CHECK(landmarks == made.landmarks);
}

TEST_CASE("the grid is finer than anything that is measured") {
  Mesh mesh;
  mesh.positions = {Vec3f(0.123456789F, -7.7654321F, 51.9182736F), Vec3f(1e-9F, -1e-16F, 0)};
  const Mesh before = mesh;
  put_on_common_grid(mesh);
  CHECK((mesh.positions[0] - before.positions[0]).cwiseAbs().maxCoeff() <= 0.5F / 65536);
  CHECK(mesh.positions[1] == Vec3f::Zero());
  CHECK_FALSE(std::signbit(mesh.positions[1].y()));
}

}  // namespace intercusp
