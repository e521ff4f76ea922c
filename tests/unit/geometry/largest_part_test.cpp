#include "geometry/largest_part.h"

#include <doctest/doctest.h>

#include "geometry/mesh_check.h"
#include "shapes.h"

using namespace intercusp;

TEST_CASE("the larger of two parts stays, whichever comes first") {
  const Mesh ball = shapes::sphere(Vec3(0, 0, 0), 5.0, 3), box = shapes::box(Vec3(8, 0, 0), Vec3(9, 1, 1));
  for (const bool ball_first : {true, false}) {
    Mesh both = ball_first ? shapes::joined(ball, box) : shapes::joined(box, ball);
    both.colours.assign(both.positions.size(), Colour{10, 20, 30, 255});
    keep_largest_part(both);
    CHECK(both.triangles.size() == ball.triangles.size());
    CHECK(both.positions.size() == ball.positions.size());
    CHECK(both.colours.size() == ball.positions.size());
    const MeshCheck check = check_mesh(both);
    CHECK(check.closed());
    CHECK(check.components == 1);
    CHECK(std::abs(check.size_mm.x() - 10) < 0.2);
  }
}

TEST_CASE("a mesh of one part and an empty mesh stay as they are") {
  Mesh ball = shapes::sphere(Vec3(0, 0, 0), 5.0, 2);
  const std::size_t triangles = ball.triangles.size();
  keep_largest_part(ball);
  CHECK(ball.triangles.size() == triangles);
  Mesh nothing;
  keep_largest_part(nothing);
  CHECK(nothing.empty());
}
