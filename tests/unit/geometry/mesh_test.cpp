#include "geometry/mesh.h"

#include <doctest/doctest.h>

using namespace intercusp;

namespace {
Mesh corner_tetrahedron() {
  Mesh m;
  m.positions = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  m.triangles = {{0, 2, 1}, {0, 1, 3}, {0, 3, 2}, {1, 2, 3}};
  return m;
}
}  // namespace

// Computed: the corner tetrahedron has volume 1/6 and area 1.5 + sqrt(3)/2.
TEST_CASE("area and volume of the corner tetrahedron") {
  const Mesh m = corner_tetrahedron();
  CHECK(signed_volume(m) == doctest::Approx(1.0 / 6.0).epsilon(1e-9));
  CHECK(surface_area(m) == doctest::Approx(1.5 + std::sqrt(3.0) / 2).epsilon(1e-9));
}

TEST_CASE("a rigid motion keeps area and volume") {
  const Pose pose = Eigen::Translation3d(3, -2, 5) * Eigen::AngleAxisd(0.7, Vec3(1, 2, 3).normalized());
  const Mesh m = transformed(corner_tetrahedron(), pose);
  CHECK(signed_volume(m) == doctest::Approx(1.0 / 6.0).epsilon(1e-5));
}
