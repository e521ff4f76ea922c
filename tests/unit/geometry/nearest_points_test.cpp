#include <doctest/doctest.h>

#include <cstdlib>

#include "geometry/overlap.h"
#include "geometry/posed_pair.h"
#include "geometry/triangle_pair.h"
#include "shapes.h"

using namespace intercusp;
using doctest::Approx;

namespace {

/// Edges, corners and faces of a box over a faceted ball: the nearest features are of every kind.
double nearest_of_all_triangles(const PosedPair& pair) {
  double least = std::numeric_limits<double>::infinity();
  for (std::uint32_t i = 0; i < pair.surface[0]->mesh().triangles.size(); ++i) {
    for (std::uint32_t j = 0; j < pair.surface[1]->mesh().triangles.size(); ++j) {
      least = std::min(least, triangle_distance(pair.corners(0, i), pair.corners(1, j)).distance_mm);
    }
  }
  return least;
}

Mesh torus(double radius, double tube, int around, int across) {
  Mesh mesh;
  const auto at = [&](int i, int j) { return static_cast<std::uint32_t>((i % around) * across + j % across); };
  for (int i = 0; i < around; ++i) {
    for (int j = 0; j < across; ++j) {
      const double a = 2 * kPi * i / around, b = 2 * kPi * (j + 0.5) / across, out = radius + tube * std::cos(b);
      mesh.positions.push_back(Vec3(out * std::cos(a), out * std::sin(a), tube * std::sin(b)).cast<float>());
      mesh.triangles.push_back({at(i, j), at(i + 1, j), at(i + 1, j + 1)});
      mesh.triangles.push_back({at(i, j), at(i + 1, j + 1), at(i, j + 1)});
    }
  }
  return mesh;
}

}  // namespace

// Against every pair of triangles. INTERCUSP_POSES in the environment asks for more poses (tests/long.sh: 2,000).
TEST_CASE("the nearest points are those of all pairs of triangles, whether sought anew or from the last pose") {
  const char* asked = std::getenv("INTERCUSP_POSES");
  const int poses = asked ? std::atoi(asked) : 60;
  shapes::Random random(73);
  const SurfacePtr box = Surface::make(shapes::box({-1, -1, -1}, {1, 1, 1}));
  const SurfacePtr ball = Surface::make(shapes::sphere({0, 0, 0}, 1.5, 2));
  PosedPair pair = make_posed_pair(*box, Pose::Identity(), *ball, shapes::shifted({4, 0, 0}));
  NearestTriangles kept;
  for (int i = 0; i < poses; ++i) {
    const Pose turn(Eigen::AngleAxisd(random.uniform(0, 6), random.point(1).normalized()));
    const Vec3 way = random.point(1).normalized();
    move_posed_pair(pair, turn, shapes::shifted(random.uniform(3.3, 6) * way) * turn);
    const TriangleGap anew = nearest_points(pair, any_points(pair));
    const TriangleGap again = nearest_points(pair, any_points(pair), &kept);
    CHECK(anew.distance_mm == nearest_of_all_triangles(pair));
    CHECK(again.distance_mm == anew.distance_mm);
    CHECK(again.on_first == anew.on_first);
    CHECK(again.on_second == anew.on_second);
    CHECK((anew.on_first - anew.on_second).norm() == Approx(anew.distance_mm));
  }
}

// Computed: two squares of side 2, one turned by 45 degrees, share a regular octagon of area 8 (sqrt 2 - 1).
TEST_CASE("a cube and the same cube turned share the octagon's prism") {
  const SurfacePtr cube = Surface::make(shapes::box({-1, -1, -1}, {1, 1, 1}));
  const Pose turned = shapes::shifted({0, 0, 0.5}) * Pose(Eigen::AngleAxisd(kPi / 4, Vec3::UnitZ()));
  const ContactResult r = find_contact(*cube, Pose::Identity(), *cube, turned, {});
  const double prism = 1.5 * 8 * (std::sqrt(2.0) - 1);
  REQUIRE(r.overlap_volume_mm3.has_value());
  CHECK(*r.overlap_volume_mm3 == Approx(prism).epsilon(1e-12));
  CHECK(overlap_volume(make_posed_pair(*cube, Pose::Identity(), *cube, turned)).value() ==
        Approx(prism).epsilon(1e-12));
}

// Computed: a plane through its equator halves a torus, by symmetry also the tessellated one; the smooth one holds
// 2 pi^2 R r^2, and a regular polygon inscribed in a circle of n corners sin(2 pi / n) / (2 pi / n) of its disc.
TEST_CASE("a block up to the equator shares half of a torus") {
  const int around = 96, across = 48;
  const Mesh ring = torus(3, 1, around, across);
  const SurfacePtr body = Surface::make(ring), block = Surface::make(shapes::box({-5, -5, -3}, {5, 5, 0}));
  const ContactResult r = find_contact(*body, Pose::Identity(), *block, Pose::Identity(), {});
  REQUIRE(r.overlap_volume_mm3.has_value());
  CHECK(*r.overlap_volume_mm3 == Approx(0.5 * signed_volume(ring)).epsilon(1e-6));
  const double smooth = kPi * kPi * 3;
  const auto share = [](int n) { return std::sin(2 * kPi / n) / (2 * kPi / n); };
  const double lost = 1 - share(around) * share(across);
  MESSAGE("of the smooth torus " << *r.overlap_volume_mm3 / smooth << ", of its tessellation at least " << 1 - lost);
  CHECK(*r.overlap_volume_mm3 < smooth);
  CHECK(*r.overlap_volume_mm3 > smooth * (1 - 1.5 * lost));
  REQUIRE(r.regions.size() == 1);
  CHECK(r.regions[0].deepest_mm ==
        Approx(1).epsilon(0.01));  // the lowest line of the tube, at the tessellation's error
}

TEST_CASE("the volume alone is that of the whole answer, and empty where a body is open") {
  shapes::Random random(74);
  const SurfacePtr ball = Surface::make(shapes::sphere({0, 0, 0}, 2, 3));
  for (int i = 0; i < 10; ++i) {
    const Pose pose = shapes::shifted(random.uniform(2, 4.5) * random.point(1).normalized());
    const ContactResult r = find_contact(*ball, Pose::Identity(), *ball, pose, {});
    const auto alone = overlap_volume(make_posed_pair(*ball, Pose::Identity(), *ball, pose));
    REQUIRE(alone.has_value());
    CHECK(*alone == Approx(*r.overlap_volume_mm3).epsilon(1e-9));
  }
  const SurfacePtr bowl = Surface::make(shapes::above(shapes::sphere({0, 0, 0}, 2, 3), 0.5));
  CHECK_FALSE(overlap_volume(make_posed_pair(*ball, Pose::Identity(), *bowl, shapes::shifted({1, 0, 0}))).has_value());
}
