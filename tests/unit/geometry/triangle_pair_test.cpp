#include "geometry/triangle_pair.h"

#include <doctest/doctest.h>

#include "geometry/exact_sign.h"
#include "geometry/pierce.h"
#include "shapes.h"

using namespace intercusp;
using doctest::Approx;

namespace {
const Corners kFlat{Vec3(0, 0, 0), Vec3(4, 0, 0), Vec3(0, 4, 0)};

Corners turned(const Corners& t, const Pose& pose) {
  return {pose * t[0], pose * t[1], pose * t[2]};
}
}  // namespace

TEST_CASE("signs are exact where rounding would lose them") {
  // d lies off the plane of abc by one unit in the last place of its own coordinate.
  const Vec3 a(0.1, 0.1, 0.1), b(12.1, 0.3, 0.1), c(0.7, 9.9, 0.1);
  const Vec3 on(5.3, 4.7, 0.1);
  CHECK(side_of_plane(a, b, c, on) == 0);
  CHECK(side_of_plane(a, b, c, {5.3, 4.7, std::nextafter(0.1, 1)}) == 1);
  CHECK(side_of_plane(a, b, c, {5.3, 4.7, std::nextafter(0.1, 0)}) == -1);
  // Swapping two points swaps the sign, near-degenerate or not.
  shapes::Random random(21);
  for (int i = 0; i < 2000; ++i) {
    const Vec3 p = random.point(50), q = random.point(50), r = random.point(50);
    const Vec3 s = p + 0.3 * (q - p) + 0.2 * (r - p);  // coplanar to rounding
    const int sign = side_of_plane(p, q, r, s);
    CHECK(side_of_plane(q, p, r, s) == -sign);
    CHECK(side_of_plane(q, r, p, s) == sign);
    CHECK(side_of_plane(s, q, r, p) == -sign);
  }
}

TEST_CASE("every ray through a shared edge or vertex pierces a closed surface an even number of times") {
  const Mesh box = shapes::box({0, 0, 0}, {2, 2, 2});
  for (const double x : {-1.0, 0.0, 1.0, 2.0, 3.0}) {
    for (const double y : {-1.0, 0.0, 1.0, 2.0, 3.0}) {
      int in = 0, out = 0;
      for (std::size_t t = 0; t < box.triangles.size(); ++t) {
        const Passage p = pierce({x, y, -5}, {x, y, 5}, box.corner(t, 0), box.corner(t, 1), box.corner(t, 2), 1);
        in += p == Passage::entering;
        out += p == Passage::leaving;
      }
      CHECK(in == out);
      CHECK(in <= 1);
    }
  }
}

TEST_CASE("triangles that cross, touch, lie in one plane or miss") {
  const Corners upright{Vec3(1, 1, -1), Vec3(1, 1, 1), Vec3(2, 1, 0)};
  CHECK(triangles_intersect(kFlat, upright));
  const auto shared = shared_segment(kFlat, upright);
  REQUIRE(shared.has_value());
  CHECK((shared->to - shared->from).norm() == Approx(1));
  CHECK_FALSE(triangles_intersect(kFlat, {Vec3(1, 1, 0.1), Vec3(1, 1, 1), Vec3(2, 1, 0.2)}));
  CHECK(triangles_intersect(kFlat, {Vec3(1, 1, 0), Vec3(1, 1, 1), Vec3(2, 1, 1)}));        // corner on the face
  CHECK(triangles_intersect(kFlat, {Vec3(4, 0, 0), Vec3(5, 0, 1), Vec3(5, 1, 1)}));        // corner on corner
  CHECK(triangles_intersect(kFlat, {Vec3(2, -1, -1), Vec3(2, -1, 1), Vec3(2, 1, 0)}));     // through an edge
  CHECK(triangles_intersect(kFlat, {Vec3(1, 1, 0), Vec3(5, 5, 0), Vec3(5, 1, 0)}));        // coplanar, corner inside
  CHECK(triangles_intersect(kFlat, {Vec3(-1, 1, 0), Vec3(5, 1, 0), Vec3(5, 1.5, 0)}));     // coplanar, edges cross
  CHECK(triangles_intersect(kFlat, {Vec3(-9, -9, 0), Vec3(20, -9, 0), Vec3(-9, 20, 0)}));  // coplanar, contained
  CHECK_FALSE(triangles_intersect(kFlat, {Vec3(3, 3, 0), Vec3(5, 5, 0), Vec3(5, 3, 0)}));
  CHECK_FALSE(shared_segment(kFlat, {Vec3(1, 1, 0), Vec3(5, 5, 0), Vec3(5, 1, 0)}).has_value());
  CHECK_FALSE(triangles_intersect(kFlat, {Vec3(1, 1, -1), Vec3(1, 1, 0), Vec3(1, 1, 1)}));  // without area
}

TEST_CASE("distance and intersection of triangles agree, whichever comes first") {
  shapes::Random random(22);
  int crossing = 0;
  for (int i = 0; i < 3000; ++i) {
    const Corners a{random.point(2), random.point(2), random.point(2)};
    const Corners b{random.point(2), random.point(2), random.point(2)};
    const TriangleGap gap = triangle_distance(a, b), swapped = triangle_distance(b, a);
    CHECK(gap.distance_mm == Approx(swapped.distance_mm).epsilon(1e-9));
    CHECK((gap.on_first - gap.on_second).norm() == Approx(gap.distance_mm));
    CHECK(triangles_intersect(a, b) == triangles_intersect(b, a));
    CHECK(triangles_intersect(a, b) == (gap.distance_mm == 0));
    crossing += gap.distance_mm == 0;
    const Pose pose = random.pose(5);
    CHECK(triangle_distance(turned(a, pose), turned(b, pose)).distance_mm == Approx(gap.distance_mm).epsilon(1e-9));
  }
  CHECK(crossing > 200);
}

// Computed: two edges at right angles, 0.5 apart.
TEST_CASE("the distance of two edges") {
  const Corners a{Vec3(-1, 0, 0), Vec3(1, 0, 0), Vec3(0, 0, -3)}, b{Vec3(0, -1, 0.5), Vec3(0, 1, 0.5), Vec3(0, 0, 3)};
  const TriangleGap gap = triangle_distance(a, b);
  CHECK(gap.distance_mm == Approx(0.5));
  CHECK(gap.on_first.norm() == Approx(0));
}
