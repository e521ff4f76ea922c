#include "geometry/signed_distance.h"

#include <doctest/doctest.h>

#include "shapes.h"

using namespace intercusp;

namespace {

SignedDistance measure(const Surface& surface, const Vec3& q) {
  SignedDistance d;
  REQUIRE(signed_distance(surface, q, shapes::kFar, d));
  return d;
}
}  // namespace

// Computed: distance of a point to an axis-aligned box, in closed form.
TEST_CASE("signed distance to a box is the closed form, corners and edges included") {
  const SurfacePtr box = Surface::make(shapes::box({-1, -2, -3}, {1, 2, 3}));
  shapes::Random random(3);
  for (int i = 0; i < 2000; ++i) {
    const Vec3 q = random.point(4), over = q.cwiseAbs() - Vec3(1, 2, 3);
    const double expected = over.cwiseMax(0.0).norm() + std::min(over.maxCoeff(), 0.0);
    CHECK(measure(*box, q).distance_mm == doctest::Approx(expected).epsilon(1e-9));
  }
  for (const double x : {-1.5, 1.5}) {
    for (const double y : {-2.5, 2.5}) {
      for (const double z : {-3.5, 3.5}) CHECK(measure(*box, {x, y, z}).side == Side::outside);
    }
  }
}

TEST_CASE("a thorn is outside just beyond its tip, however sharp") {
  Mesh m;  // a needle: base triangle of side about 0.02 and a tip 10 away
  m.positions = {{0, 0, 0}, {0.02f, 0, 0}, {0, 0.02f, 0}, {0, 0, 10}};
  m.triangles = {{0, 2, 1}, {0, 1, 3}, {0, 3, 2}, {1, 2, 3}};
  const SurfacePtr needle = Surface::make(m);
  CHECK(needle->closed());
  shapes::Random random(4);
  for (int i = 0; i < 500; ++i) {
    const Vec3 q = Vec3(0, 0, 10) + Vec3(random.uniform(-1, 1), random.uniform(-1, 1), random.uniform(0.001, 1));
    CHECK(measure(*needle, q).side == Side::outside);
  }
  CHECK(measure(*needle, {0.001, 0.001, 5}).side == Side::inside);
}

TEST_CASE("the pseudonormal and the winding number agree on closed bodies") {
  const SurfacePtr body =
      Surface::make(shapes::joined(shapes::sphere({0, 0, 0}, 2, 3), shapes::box({3, 3, 3}, {5, 4, 4})));
  shapes::Random random(5);
  for (int i = 0; i < 2000; ++i) {
    const Vec3 q = random.point(5);
    CHECK((measure(*body, q).side == Side::inside) == (winding_number(*body, q) == 1));
  }
  // On vertices, edges and faces the winding number is 0 or 1, never anything else.
  for (const Vec3f& p : body->mesh().positions) {
    const int winds = winding_number(*body, p.cast<double>());
    CHECK((winds == 0 || winds == 1));
  }
}

TEST_CASE("an open bowl: inside under its skin, unknown beyond its rim") {
  const SurfacePtr bowl = Surface::make(shapes::above(shapes::sphere(Vec3::Zero(), 2, 4), 0));
  CHECK_FALSE(bowl->closed());
  CHECK(bowl->open_edges() == 64);
  CHECK(measure(*bowl, {0, 0, 1.5}).side == Side::inside);
  CHECK(measure(*bowl, {0, 0, 2.5}).side == Side::outside);
  CHECK(measure(*bowl, {0, 1.9, 0.5}).side == Side::inside);
  CHECK(measure(*bowl, {0, 1.9, -0.5}).side == Side::unknown);
  CHECK(measure(*bowl, {0, 2.2, -0.5}).side == Side::unknown);
  CHECK(measure(*bowl, {0, 1.9, -0.5}).distance_mm > 0);
  CHECK(measure(*bowl, {0, 0, -3}).side == Side::unknown);
}

TEST_CASE("triangles without area do not turn the sign") {
  Mesh m = shapes::box({0, 0, 0}, {2, 2, 2});
  // Split the top's edge 4-6 at its middle on one side only by a triangle without area.
  m.positions.emplace_back(0.0f, 1.0f, 2.0f);
  m.triangles.erase(m.triangles.begin() + 9);  // {2, 4, 6} of the side x = 0
  m.triangles.push_back({2, 4, 8});
  m.triangles.push_back({2, 8, 6});
  m.triangles.push_back({4, 6, 8});
  const SurfacePtr box = Surface::make(m);
  CHECK(box->closed());
  shapes::Random random(6);
  for (int i = 0; i < 1000; ++i) {
    const Vec3 q = random.point(1.5) + Vec3(1, 1, 1), over = (q - Vec3(1, 1, 1)).cwiseAbs() - Vec3(1, 1, 1);
    CHECK((measure(*box, q).side == Side::inside) == (over.maxCoeff() < 0));
  }
}

TEST_CASE("repeated faces and faces that name a vertex twice change nothing") {
  Mesh m = shapes::box({0, 0, 0}, {1, 1, 1});
  const std::size_t n = m.triangles.size();
  for (std::size_t t = 0; t < n; ++t) m.triangles.push_back({m.triangles[t][1], m.triangles[t][2], m.triangles[t][0]});
  m.triangles.push_back({3, 3, 5});
  const SurfacePtr box = Surface::make(m);
  CHECK(box->closed());
  CHECK(measure(*box, {0.5, 0.5, 0.9}).distance_mm == doctest::Approx(-0.1));
  CHECK(measure(*box, {1.1, 1.1, 1.1}).side == Side::outside);
}

TEST_CASE("a single triangle knows its two sides over its face only") {
  Mesh m;
  m.positions = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}};
  m.triangles = {{0, 1, 2}};
  const SurfacePtr one = Surface::make(m);
  CHECK(measure(*one, {0.2, 0.2, 1}).side == Side::outside);
  CHECK(measure(*one, {0.2, 0.2, -1}).side == Side::inside);
  CHECK(measure(*one, {-1, -1, -1}).side == Side::unknown);
}

// Golden numbers, computed by the closed form of the octahedron |x| + |y| + |z| = 3: (3 - sum) / sqrt 3 inside. The
// same numbers must come from the native and the WebAssembly build.
TEST_CASE("golden distances are the same in every build") {
  const SurfacePtr octahedron = Surface::make(shapes::sphere(Vec3::Zero(), 3, 0));
  double sum = 0;
  shapes::Random random(7);
  for (int i = 0; i < 1000; ++i) sum += measure(*octahedron, random.point(5)).distance_mm * (1 + i % 7);
  CHECK(measure(*octahedron, {0.1, 0.2, 0.3}).distance_mm == doctest::Approx(-2.4 / std::sqrt(3.0)).epsilon(1e-12));
  CHECK(std::abs(sum - 10807.645039788) < 1e-6);
}
