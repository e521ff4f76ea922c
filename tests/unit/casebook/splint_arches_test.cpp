#include "casebook/splint_arches.h"

#include <doctest/doctest.h>

#include "geometry/shapes.h"

using namespace intercusp;

TEST_CASE("splint arches: what is painted on an arch and on its pieces is found, where the jaw stands") {
  const SurfacePtr ball = Surface::make(shapes::sphere(Vec3::Zero(), 10, 4));
  Case c;
  for (const char* name : {"upper_arch_right", "lower_arch", "upper_bone"}) c.bodies.push_back(make_body(name, ball));
  c.zones.push_back({"upper_arch", {{Vec3(10, 0, 0), Vec3::UnitX(), 3}, {Vec3(10, 0, 2), Vec3::UnitX(), 1, true}}});
  SegmentPoses poses;
  poses[segment_of_body(c, c.bodies[0])] = shapes::shifted(Vec3(0, -4, 1));
  const Mesh painted = painted_together(c, poses, true);
  REQUIRE(painted.triangles.size() > 10);
  const double edge = 2.5;  // mm, of these triangles: one corner in the zone suffices
  for (std::size_t t = 0; t < painted.triangles.size(); ++t) {
    for (int k = 0; k < 3; ++k) CHECK((painted.corner(t, k) - Vec3(10, -4, 1)).norm() < 3 + edge);
  }
  CHECK(painted_together(c, poses, false).triangles.empty());
  CHECK(arches_together(c, poses, true).triangles.size() == ball->mesh().triangles.size());
  c.zones[0].body = "upper_bone";
  CHECK(painted_together(c, poses, true).triangles.empty());
}
