#include "geometry/pair_query.h"

#include <doctest/doctest.h>

#include <cstdlib>
#include <cstring>

#include "shapes.h"

using namespace intercusp;

namespace {

bool same_bits(const std::vector<float>& a, const std::vector<float>& b) {
  return a.size() == b.size() && (a.empty() || std::memcmp(a.data(), b.data(), a.size() * sizeof(float)) == 0);
}

bool same(const ContactResult& a, const ContactResult& b) {
  if (a.regions.size() != b.regions.size() || a.contacts.size() != b.contacts.size()) return false;
  for (std::size_t i = 0; i < a.regions.size(); ++i) {
    const OverlapRegion &p = a.regions[i], &q = b.regions[i];
    if (p.deepest_mm != q.deepest_mm || p.at != q.at || p.direction != q.direction) return false;
    if (p.volume_mm3 != q.volume_mm3 || p.area_mm2 != q.area_mm2) return false;
  }
  for (std::size_t i = 0; i < a.contacts.size(); ++i) {
    const ContactPatch &p = a.contacts[i], &q = b.contacts[i];
    if (p.gap_mm != q.gap_mm || p.at != q.at || p.area_mm2 != q.area_mm2) return false;
  }
  return a.minimum_distance_mm == b.minimum_distance_mm && a.nearest_first == b.nearest_first &&
         a.nearest_second == b.nearest_second && a.overlap_volume_mm3 == b.overlap_volume_mm3 &&
         a.crossings == b.crossings && same_bits(a.gap_first, b.gap_first) && same_bits(a.gap_second, b.gap_second);
}

/// Mostly small moves, now and then a jump, sometimes of the first body.
void wander(shapes::Random& random, Pose& first, Pose& second) {
  const double kind = random.uniform(0, 1), size = kind < 0.9 ? 0.05 : 2;
  Pose& moved = kind < 0.8 || kind > 0.95 ? second : first;
  const Pose turn(Eigen::AngleAxisd(random.uniform(-0.02, 0.02) * size * 10, random.point(1).normalized()));
  moved = shapes::shifted(random.point(size)) * turn * moved;
  const Vec3 apart = second.translation() - first.translation();
  if (apart.norm() > 6) second.translation() = first.translation() + 4.8 * apart.normalized();
  if (apart.norm() < 4) second.translation() = first.translation() + 5.2 * apart.normalized();
}

}  // namespace

// The whole answer, to the last bit. INTERCUSP_STEPS in the environment asks for more steps (tests/long.sh: 10,000).
TEST_CASE("a query kept from pose to pose answers as one made anew") {
  const char* asked = std::getenv("INTERCUSP_STEPS");
  const int steps = asked ? std::atoi(asked) : 400;
  shapes::Random random(71);
  const Mesh knob = shapes::joined(shapes::sphere({0, 0, 0}, 2, 3), shapes::box({2.5, -0.5, -0.5}, {3.5, 0.5, 0.5}));
  const SurfacePtr first = Surface::make(knob);
  for (const bool open : {false, true}) {
    const Mesh ball = shapes::sphere({0, 0, 0}, 3, 3);
    const SurfacePtr second = Surface::make(open ? shapes::above(ball, -1) : ball);
    PairQuery query(*first, *second);
    Pose a = Pose::Identity(), b = shapes::shifted({0, 0, 4.9});
    int overlapping = 0, differing = 0;
    for (int i = 0; i < steps; ++i) {
      wander(random, a, b);
      ContactSettings settings;
      settings.band_mm = i % 7 == 0 ? 0.5 : 3.0;
      const ContactResult kept = query.at(a, b, settings);
      differing += !same(kept, find_contact(*first, a, *second, b, settings));
      overlapping += !kept.regions.empty();
    }
    CHECK(differing == 0);
    CHECK(overlapping > 20);
    CHECK(overlapping < steps);
  }
}

namespace {

/// A face of so many squares each way, level but for a ten-thousandth of a millimetre.
Mesh nearly_level_face(shapes::Random& random, std::uint32_t squares, double size_mm) {
  Mesh face;
  for (std::uint32_t i = 0; i <= squares; ++i) {
    for (std::uint32_t k = 0; k <= squares; ++k) {
      const Vec3 at(size_mm * i / squares, size_mm * k / squares, random.uniform(0, 1e-4));
      face.positions.push_back(at.cast<float>());
    }
  }
  for (std::uint32_t i = 0; i < squares; ++i) {
    for (std::uint32_t k = 0; k < squares; ++k) {
      const std::uint32_t a = i * (squares + 1) + k, b = a + squares + 1;
      face.triangles.push_back({a, b, b + 1});
      face.triangles.push_back({a, b + 1, a + 1});
    }
  }
  return face;
}

/// Of every pair of triangles whose boxes are not farther apart than what was found.
double distance_of_every_pair(const Mesh& first, const Mesh& second, const Pose& second_pose) {
  struct Posed {
    Corners corners;
    Box box;
  };
  const auto posed = [](const Mesh& mesh, const Pose& pose) {
    std::vector<Posed> all;
    for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
      Posed one{{pose * mesh.corner(t, 0), pose * mesh.corner(t, 1), pose * mesh.corner(t, 2)}, {}};
      for (const Vec3& p : one.corners) one.box.extend(p);
      all.push_back(one);
    }
    return all;
  };
  const std::vector<Posed> firsts = posed(first, Pose::Identity()), seconds = posed(second, second_pose);
  double least = 1e9;
  for (const Posed& own : firsts) {
    for (const Posed& other : seconds) {
      if (own.box.exteriorDistance(other.box) > least) continue;
      least = std::min(least, triangle_distance(own.corners, other.corners).distance_mm);
    }
  }
  return least;
}

}  // namespace

// Against every pair of triangles, one by one. Nothing but the last digits tells which pair is nearest, and so many
// nodes are open that they are told apart along the line of the gap.
TEST_CASE("faces that lie level over each other: the nearest of all pairs of triangles is found, moved and moved on") {
  shapes::Random random(5);
  const Mesh low = nearly_level_face(random, 40, 9), high = nearly_level_face(random, 35, 10);
  const SurfacePtr first = Surface::make(low), second = Surface::make(high);
  PairQuery query(*first, *second);
  for (int i = 0; i < 4; ++i) {
    const Pose over = shapes::shifted({0.3 * i - 1, 0.17 * i, 11.3 + (i % 2) * 0.05});
    const ContactResult kept = query.at(Pose::Identity(), over, {});
    CHECK(kept.minimum_distance_mm == distance_of_every_pair(low, high, over));
    CHECK(same(kept, find_contact(*first, Pose::Identity(), *second, over, {})));
  }
}

TEST_CASE("a query of an empty body answers nothing, again and again") {
  const SurfacePtr empty = Surface::make(Mesh{}), ball = Surface::make(shapes::sphere({0, 0, 0}, 1, 2));
  PairQuery query(*empty, *ball);
  for (int i = 0; i < 3; ++i) {
    const ContactResult r = query.at(Pose::Identity(), shapes::shifted({0.1 * i, 0, 0}), {});
    CHECK(r.regions.empty());
    CHECK(r.crossings.empty());
    CHECK(r.minimum_distance_mm == shapes::kFar);
  }
}

// Flat faces that lie on each other exactly, and apart by the width of a saw cut: 0.3 mm here.
TEST_CASE("faces of a cut are found at zero and at the width of the cut, however the pose is reached") {
  const Mesh block =
      shapes::refined(shapes::refined(shapes::box({0, 0, 0}, {8, 8, 4}), [](const Vec3& p) { return p; }),
                      [](const Vec3& p) { return p; });
  const SurfacePtr surface = Surface::make(block);
  PairQuery query(*surface, *surface);
  ContactSettings settings;
  settings.contact_mm = 0.35;
  const Pose rest = Pose::Identity();
  for (const double gap : {1.0, 0.3, 0.0, 0.3, -0.5, 0.0}) {
    const ContactResult r = query.at(rest, shapes::shifted({0, 0, 4 + gap}), settings);
    CHECK(r.minimum_distance_mm == doctest::Approx(std::max(0.0, gap)).epsilon(1e-6));
    CHECK(*r.overlap_volume_mm3 == doctest::Approx(64 * std::max(0.0, -gap)).epsilon(1e-9));
    if (gap > settings.contact_mm) {
      CHECK(r.contacts.empty());
      continue;
    }
    REQUIRE(r.contacts.size() == 1);
    CHECK(r.contacts[0].gap_mm == doctest::Approx(gap).epsilon(1e-6));
    if (gap >= 0) CHECK(r.contacts[0].area_mm2 >= 64 * (1 - 1e-6));
  }
}

TEST_CASE("the volume comes with a bound of its rounding that holds") {
  shapes::Random random(72);
  const SurfacePtr a = Surface::make(shapes::box({0, 0, 0}, {4, 3, 2})),
                   b = Surface::make(shapes::box({3.5, 1, 1}, {6, 2, 5}));
  for (int i = 0; i < 50; ++i) {
    const Pose pose = random.pose(100);
    const ContactResult r = find_contact(*a, pose, *b, pose, {});
    CHECK(std::abs(*r.overlap_volume_mm3 - 0.5) <= r.volume_error_mm3);
    CHECK(r.volume_error_mm3 < 1e-6);
  }
}
