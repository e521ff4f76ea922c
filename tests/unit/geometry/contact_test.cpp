#include "geometry/contact.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <limits>

#include "shapes.h"

using namespace intercusp;
using doctest::Approx;

namespace {

const Pose kRest = Pose::Identity();

ContactResult contact(const Mesh& a, const Pose& pa, const Mesh& b, const Pose& pb, ContactSettings settings = {}) {
  return find_contact(*Surface::make(a), pa, *Surface::make(b), pb, settings);
}

double least(const std::vector<float>& gaps) {
  double best = std::numeric_limits<double>::infinity();
  for (const float g : gaps) {
    if (g < best) best = g;
  }
  return best;
}

// Volume common to two equal balls of radius r with centres d apart: pi (4 r + d) (2 r - d)^2 / 12 (Weisstein,
// "Sphere-Sphere Intersection", from memory).
double lens_volume(double r, double d) {
  return kPi * (4 * r + d) * (2 * r - d) * (2 * r - d) / 12;
}

}  // namespace

// reference-values 12.3, K1: ball of radius 2 at height 2.03 over a plane. Smallest gap 0.030; the disc within 0.05 mm
// has 0.2501 mm^2 on the plane; on the ball the cap of height 0.02 has 2 pi r h = 0.2513 mm^2.
TEST_CASE("K1: a cusp just over a plane is in contact") {
  const Mesh ball = shapes::sphere({0, 0, 2.03}, 2, 6), plane = shapes::sheet(1, 0, 100);
  for (const bool ball_first : {true, false}) {
    const ContactResult r = ball_first ? contact(ball, kRest, plane, kRest) : contact(plane, kRest, ball, kRest);
    CHECK(r.minimum_distance_mm == Approx(0.03).epsilon(1e-5));
    CHECK((r.nearest_first - r.nearest_second).norm() == Approx(r.minimum_distance_mm));
    REQUIRE(r.contacts.size() == 1);
    CHECK(r.contacts[0].gap_mm == Approx(0.03).epsilon(1e-5));
    CHECK(r.contacts[0].area_mm2 == Approx(0.2507).epsilon(0.02));
    CHECK(r.contacts[0].at.head<2>().norm() < 1e-3);
    CHECK(r.regions.empty());
    CHECK(r.crossings.empty());
    CHECK(r.overlap_volume_mm3.value() == 0);
  }
}

// K2: at height 2.20 the gap is 0.200: near contact, not contact.
TEST_CASE("K2: a gap of 0.2 is no contact") {
  const ContactResult r = contact(shapes::sphere({0, 0, 2.2}, 2, 5), kRest, shapes::sheet(1, 0, 4), kRest);
  CHECK(r.minimum_distance_mm == Approx(0.2).epsilon(1e-5));
  CHECK(r.contacts.empty());
  CHECK(least(r.gap_first) == Approx(0.2).epsilon(1e-5));
}

// K3: at height 1.85 the ball is 0.150 deep, the circle has radius 0.7599; the cap of height h = 0.15 has the volume
// pi h^2 (3 r - h) / 3 = 0.13784 and the area 2 pi r h = 1.88496.
TEST_CASE("K3: a ball pressed into a plane") {
  const Mesh ball = shapes::sphere({0, 0, 1.85}, 2, 6), plane = shapes::sheet(1.5, 0, 1);
  const ContactResult r = contact(ball, kRest, plane, kRest);
  REQUIRE(r.regions.size() == 1);
  const OverlapRegion& region = r.regions[0];
  CHECK(region.deepest_mm == Approx(0.15).epsilon(1e-5));
  CHECK((region.at - Vec3(0, 0, -0.15)).norm() < 1e-6);
  CHECK((region.direction - Vec3::UnitZ()).norm() < 1e-9);
  CHECK(region.area_mm2 == Approx(2 * kPi * 2 * 0.15).epsilon(0.005));
  REQUIRE(region.volume_mm3.has_value());  // both surfaces together close the region, though the plane is open
  CHECK(*region.volume_mm3 == Approx(kPi * 0.15 * 0.15 * (6 - 0.15) / 3).epsilon(0.01));
  CHECK(r.minimum_distance_mm == 0);
  double radius = 0;  // of the vertices just outside and just inside the circle
  for (std::size_t i = 0; i < ball.positions.size(); ++i) {
    if (r.gap_first[i] < 0) radius = std::max(radius, static_cast<double>(ball.positions[i].head<2>().norm()));
  }
  CHECK(radius < 0.7599);
  CHECK(radius > 0.7599 - 2 * kPi / 4 / 64 * 2);
  REQUIRE(r.contacts.size() == 1);
  CHECK(r.contacts[0].gap_mm == Approx(-0.15).epsilon(1e-5));
}

// Inscribed meshes are smaller than their balls. Refining an octahedron 5 times leaves facets whose longest edge is
// about 2 pi r / 4 / 32 * 1.2 = 0.12 for r = 2, so a sag below 0.12^2 / (8 r) = 0.0009, which is also the bound for
// depth.
TEST_CASE("two balls overlap by the lens of geometry") {
  const double r = 2, d = 3.4, sag = 0.0009;
  const Mesh ball = shapes::sphere(Vec3::Zero(), r, 5);
  const ContactResult result = contact(ball, kRest, ball, shapes::shifted({0, 0, d}));
  REQUIRE(result.regions.size() == 1);
  CHECK(result.regions[0].deepest_mm <= 2 * r - d + 1e-6);
  CHECK(result.regions[0].deepest_mm >= 2 * r - d - sag);
  CHECK((result.regions[0].direction - Vec3(0, 0, -1)).norm() < 0.05);
  // Both caps lose at most their area times the sag.
  const double cap_area = 2 * kPi * r * (r - d / 2);
  CHECK(*result.overlap_volume_mm3 <= lens_volume(r, d));
  CHECK(*result.overlap_volume_mm3 >= lens_volume(r, d) - 2 * cap_area * sag);
  CHECK(result.regions[0].area_mm2 == Approx(cap_area).epsilon(0.01));
}

// Computed: boxes overlap in a box.
TEST_CASE("two boxes overlap in a box, in any pose") {
  const Mesh a = shapes::box({0, 0, 0}, {4, 3, 2}), b = shapes::box({3.5, 1, 1}, {6, 2, 5});
  shapes::Random random(11);
  for (int i = 0; i < 20; ++i) {
    const Pose pose = i == 0 ? kRest : random.pose(20);
    const ContactResult r = contact(a, pose, b, pose);
    REQUIRE(r.regions.size() == 1);
    CHECK(*r.overlap_volume_mm3 == Approx(0.5 * 1 * 1).epsilon(1e-6));
    CHECK(r.regions[0].deepest_mm == Approx(0.5).epsilon(1e-6));
    CHECK((pose.linear() * Vec3(-1, 0, 0) - r.regions[0].direction).norm() < 1e-6);
    CHECK(r.regions[0].area_mm2 == Approx(0.5 + 1.0).epsilon(1e-6));  // of the first: its top and its end, inside b
  }
}

TEST_CASE("boxes that share planes and edges still have the right volume") {
  const Mesh a = shapes::box({0, 0, 0}, {2, 2, 2});
  CHECK(*contact(a, kRest, a, shapes::shifted({1, 0, 0})).overlap_volume_mm3 == Approx(4));
  CHECK(*contact(a, kRest, a, shapes::shifted({1, 1, 0})).overlap_volume_mm3 == Approx(2));
  CHECK(*contact(a, kRest, a, shapes::shifted({1, 1, 1})).overlap_volume_mm3 == Approx(1));
  CHECK(*contact(a, kRest, a, kRest).overlap_volume_mm3 == Approx(8));
}

TEST_CASE("boxes that only touch do not overlap") {
  const Mesh a = shapes::box({0, 0, 0}, {2, 2, 2});
  for (const Vec3& by : {Vec3(2, 0, 0), Vec3(0, -2, 0), Vec3(2, 2, 0), Vec3(-2, 2, 2), Vec3(0.5, 0.5, 2)}) {
    const ContactResult r = contact(a, kRest, a, shapes::shifted(by));
    CHECK(r.minimum_distance_mm == 0);
    CHECK((r.nearest_first - r.nearest_second).norm() == 0);
    CHECK(r.regions.empty());
    CHECK(*r.overlap_volume_mm3 == 0);
    CHECK_FALSE(r.crossings.empty());
    REQUIRE(r.contacts.size() == 1);
    CHECK(r.contacts[0].gap_mm == Approx(0));
  }
}

TEST_CASE("bars that cross overlap though no vertex lies inside") {
  const Mesh a = shapes::box({-5, -1, -1}, {5, 1, 1}), b = shapes::box({-1, -5, 0.75}, {1, 5, 3});
  const ContactResult r = contact(a, kRest, b, kRest);
  REQUIRE(r.regions.size() == 1);
  CHECK(r.regions[0].deepest_mm == Approx(0.25));
  CHECK((r.regions[0].direction - Vec3(0, 0, -1)).norm() < 1e-6);
  CHECK(*r.overlap_volume_mm3 == Approx(2 * 2 * 0.25));
  CHECK(r.regions[0].area_mm2 == Approx(4 + 2 * 2 * 0.25));
  REQUIRE(r.contacts.size() == 1);
  CHECK(r.contacts[0].gap_mm == Approx(-0.25));
  CHECK(least(r.gap_first) > 0);
}

TEST_CASE("an edge over an edge is the nearest place and a contact") {
  const Mesh roof = shapes::box({-1, -1, -1}, {1, 1, 1});
  const Pose a = Pose(Eigen::AngleAxisd(kPi / 4, Vec3::UnitX())),
             b = shapes::shifted({0, 0, 2 * std::sqrt(2.0) + 0.02}) * Pose(Eigen::AngleAxisd(kPi / 4, Vec3::UnitY()));
  const ContactResult r = contact(roof, a, roof, b);
  CHECK(r.minimum_distance_mm == Approx(0.02).epsilon(1e-6));
  CHECK(r.nearest_first.head<2>().norm() < 1e-6);
  REQUIRE(r.contacts.size() == 1);
  CHECK(r.contacts[0].gap_mm == Approx(0.02).epsilon(1e-6));
  CHECK(r.contacts[0].at.head<2>().norm() < 1e-6);
  const ContactResult deep = contact(roof, a, roof, shapes::shifted({0, 0, -0.12}) * b);
  REQUIRE(deep.regions.size() == 1);
  CHECK(deep.regions[0].deepest_mm > 0.05);
  CHECK(deep.regions[0].deepest_mm < 0.1);
}

TEST_CASE("a corner of the second body over a large face of the first is a contact") {
  const Mesh face = shapes::sheet(10, 0, 1);
  const Mesh cube = shapes::box({-1, -1, -1}, {1, 1, 1});
  const Vec3 diagonal = Vec3(1, 1, 1).normalized();
  const Pose on_corner = shapes::shifted({2, 3, std::sqrt(3.0) + 0.04}) *
                         Pose(Eigen::Quaterniond::FromTwoVectors(diagonal, Vec3::UnitZ()));
  const ContactResult r = contact(face, kRest, cube, on_corner);
  REQUIRE(r.contacts.size() == 1);
  CHECK(r.contacts[0].gap_mm == Approx(0.04).epsilon(1e-5));
  CHECK((r.contacts[0].at - Vec3(2, 3, 0)).norm() < 1e-5);
}

TEST_CASE("a body wholly inside another overlaps by its own volume") {
  const Mesh outer = shapes::sphere(Vec3::Zero(), 10, 3), inner = shapes::box({-1, -1, -1}, {1, 1, 1});
  const ContactResult r = contact(inner, kRest, outer, kRest);
  REQUIRE(r.regions.size() == 1);
  CHECK(*r.overlap_volume_mm3 == Approx(8));
  CHECK(r.regions[0].deepest_mm > 7);
  CHECK(r.minimum_distance_mm == 0);
  const ContactResult swapped = contact(outer, kRest, inner, kRest);
  CHECK(*swapped.overlap_volume_mm3 == Approx(8));
  CHECK(swapped.regions[0].deepest_mm == Approx(r.regions[0].deepest_mm));
}

TEST_CASE("two separate places are two regions") {
  const Mesh two = shapes::joined(shapes::sphere({-3, 0, 0}, 1, 4), shapes::sphere({3, 0, 0}, 1, 4));
  const ContactResult r = contact(two, kRest, shapes::box({-6, -6, 0.8}, {6, 6, 4}), kRest);
  REQUIRE(r.regions.size() == 2);
  CHECK(r.regions[0].deepest_mm == Approx(0.2).epsilon(1e-5));
  CHECK(*r.regions[0].volume_mm3 == Approx(kPi * 0.04 * (3 - 0.2) / 3).epsilon(0.02));
  CHECK(*r.regions[1].volume_mm3 == Approx(*r.regions[0].volume_mm3).epsilon(1e-4));
  CHECK(r.contacts.size() == 2);
}

// A shaft through a block meets the inside of two large triangles: what lies inside them has holes.
TEST_CASE("a plate inside a block with a shaft is one region with holes") {
  Mesh block = shapes::box({-10, -10, -10}, {10, 10, 10});
  Mesh cavity = shapes::box({-2.5, -1, -9}, {-1.5, 0, 9});  // a closed hollow inside the block, facing inward
  for (Triangle& t : cavity.triangles) std::swap(t[0], t[1]);
  const Mesh plate = shapes::box({-8, -8, -0.5}, {8, 8, 0.5});
  const ContactResult r = contact(plate, kRest, shapes::joined(block, cavity), kRest);
  REQUIRE(r.regions.size() == 1);
  CHECK(*r.overlap_volume_mm3 == Approx(16 * 16 * 1 - 1));
  CHECK(r.regions[0].area_mm2 == Approx(2 * 256 + 4 * 16 - 2));
}

TEST_CASE("moving out by the depth along the direction just separates convex bodies") {
  shapes::Random random(12);
  const SurfacePtr ball = Surface::make(shapes::sphere(Vec3::Zero(), 2, 4));
  // Wide and tall, so that the nearest way out is always through the face that the ball came in by.
  const SurfacePtr box = Surface::make(shapes::box({-9, -9, -2}, {9, 9, 9}));
  int overlapping = 0;
  for (int i = 0; i < 30; ++i) {
    const Pose turned = random.pose(0);
    const Pose a = shapes::shifted(random.point(1)) * turned;
    const Pose b = shapes::shifted(Vec3(0, 0, 3.9) + random.point(0.3)) * kRest;
    const ContactResult r = find_contact(*ball, a, *box, b, {});
    CHECK(r.regions.empty() == (r.minimum_distance_mm > 0));
    if (r.regions.empty()) continue;
    ++overlapping;
    const OverlapRegion& region = r.regions[0];
    const Pose out = shapes::shifted((region.deepest_mm + 1e-6) * region.direction) * a;
    const ContactResult apart = find_contact(*ball, out, *box, b, {});
    CHECK(apart.regions.empty());
    CHECK(apart.minimum_distance_mm < 1e-4);
  }
  CHECK(overlapping > 10);
}

TEST_CASE("swapping the bodies swaps the answer, and a common motion changes nothing") {
  shapes::Random random(13);
  const SurfacePtr first = Surface::make(shapes::above(shapes::sphere(Vec3::Zero(), 3, 4), -1));
  const SurfacePtr second =
      Surface::make(shapes::joined(shapes::sphere({0, 0, 0}, 1, 3), shapes::box({1, 1, 1}, {3, 4, 5})));
  for (int i = 0; i < 20; ++i) {
    const Pose a = random.pose(2), b = random.pose(2), common = random.pose(10);
    const ContactResult r = find_contact(*first, a, *second, b, {});
    const ContactResult swapped = find_contact(*second, b, *first, a, {});
    const ContactResult moved = find_contact(*first, common * a, *second, common * b, {});
    for (const ContactResult* other : {&swapped, &moved}) {
      const bool is_swapped = other == &swapped;
      CHECK(other->minimum_distance_mm == Approx(r.minimum_distance_mm).epsilon(1e-9));
      REQUIRE(other->regions.size() == r.regions.size());
      CHECK(other->overlap_volume_mm3.has_value() == r.overlap_volume_mm3.has_value());
      if (r.overlap_volume_mm3) CHECK(*other->overlap_volume_mm3 == Approx(*r.overlap_volume_mm3).epsilon(1e-6));
      for (std::size_t k = 0; k < r.regions.size(); ++k) {
        CHECK(other->regions[k].deepest_mm == Approx(r.regions[k].deepest_mm).epsilon(1e-6));
        const Vec3 direction = is_swapped ? Vec3(-other->regions[k].direction)
                                          : Vec3(common.linear().transpose() * other->regions[k].direction);
        CHECK((direction - r.regions[k].direction).norm() < 1e-4);
      }
      const std::vector<float>& gaps = is_swapped ? other->gap_second : other->gap_first;
      REQUIRE(gaps.size() == r.gap_first.size());
      for (std::size_t v = 0; v < gaps.size(); ++v) {
        if (std::isnan(r.gap_first[v])) continue;
        CHECK(gaps[v] == Approx(r.gap_first[v]).epsilon(1e-5));
      }
      auto pairs = other->crossings;
      if (is_swapped) {
        for (auto& p : pairs) std::swap(p.first, p.second);
        std::sort(pairs.begin(), pairs.end());
        CHECK(pairs == r.crossings);
      }
    }
  }
}

TEST_CASE("an overlap that runs over an open border has no volume and says why") {
  const Mesh bowl = shapes::above(shapes::sphere(Vec3::Zero(), 2, 4), 0);
  const ContactResult r = contact(shapes::box({1, -1, -1}, {4, 1, 1}), kRest, bowl, kRest);
  REQUIRE_FALSE(r.regions.empty());
  CHECK_FALSE(r.overlap_volume_mm3.has_value());
  CHECK(r.volume_why == "the overlap reaches the open border of the second surface, so it encloses no volume");
  const ContactResult top = contact(shapes::box({-1, -1, 1.9}, {1, 1, 4}), kRest, bowl, kRest);
  REQUIRE(top.regions.size() == 1);
  REQUIRE(top.regions[0].volume_mm3.has_value());
  CHECK(*top.overlap_volume_mm3 == Approx(kPi * 0.01 * (6 - 0.1) / 3).epsilon(0.05));
}

TEST_CASE("beside an open rim nothing is inside") {
  const Mesh bowl = shapes::above(shapes::sphere(Vec3::Zero(), 2, 4), 0);
  const ContactResult r = contact(shapes::sphere({0, 0, -1.5}, 1, 3), kRest, bowl, kRest);
  CHECK(r.minimum_distance_mm > 0.3);
  CHECK(least(r.gap_first) > 0);
}

TEST_CASE("empty and single meshes are answered without fuss") {
  const Mesh ball = shapes::sphere(Vec3::Zero(), 1, 2);
  const ContactResult none = contact(Mesh{}, kRest, ball, kRest);
  CHECK(none.minimum_distance_mm == std::numeric_limits<double>::infinity());
  CHECK(none.regions.empty());
  CHECK(none.gap_second.size() == ball.positions.size());
  CHECK(std::isnan(none.gap_second[0]));
  Mesh one;
  one.positions = {{-1, -1, 0}, {1, -1, 0}, {0, 1, 0}};
  one.triangles = {{0, 1, 2}};
  CHECK(contact(one, shapes::shifted({0, 0, 7}), ball, kRest).minimum_distance_mm == Approx(6));
  CHECK(contact(one, kRest, ball, kRest).minimum_distance_mm == 0);
}

TEST_CASE("faces repeated or without area do not change an overlap") {
  const Mesh clean = shapes::box({0, 0, 0}, {2, 2, 2});
  Mesh dirty = clean;
  dirty.triangles.insert(dirty.triangles.end(), clean.triangles.begin(), clean.triangles.end());
  dirty.triangles.push_back({1, 1, 2});
  const Pose pose = shapes::shifted({1.5, 1.25, 1}) * Pose(Eigen::AngleAxisd(0.3, Vec3(1, 2, 3).normalized()));
  const ContactResult a = contact(clean, kRest, clean, pose), b = contact(dirty, kRest, clean, pose);
  CHECK(*b.overlap_volume_mm3 == Approx(*a.overlap_volume_mm3));
  CHECK(b.regions[0].deepest_mm == Approx(a.regions[0].deepest_mm));
  CHECK(b.crossings == a.crossings);
}
