#include "geometry/sweep.h"

#include <doctest/doctest.h>

#include "geometry/contact.h"
#include "shapes.h"

using namespace intercusp;
using doctest::Approx;

namespace {

double distance_after(const Surface& a, const Surface& b, const Pose& rest, const Sweep& sweep, double travel) {
  ContactSettings settings;
  settings.band_mm = 0.01;
  return find_contact(a, Pose::Identity(), b, sweep.after(travel) * rest, settings).minimum_distance_mm;
}

}  // namespace

// Computed: two balls of radii 2 and 1 whose centres pass at 1.5 mm from each other meet when the centres are 3 apart,
// 3^2 = 1.5^2 + x^2. The vertices of the meshes lie on the balls, the facets up to 0.002 below.
TEST_CASE("a sliding ball stops where geometry says") {
  const SurfacePtr a = Surface::make(shapes::sphere({0, 0, 0}, 2, 5)),
                   b = Surface::make(shapes::sphere({0, 0, 0}, 1, 5));
  Sweep sweep;
  sweep.direction = Vec3(0, 0, -1);
  sweep.limit = 20;
  const Pose rest = shapes::shifted({1.5, 0, 10});
  const auto contact = first_contact(*a, Pose::Identity(), *b, rest, sweep).value();
  REQUIRE(contact.has_value());
  CHECK(contact->travel == Approx(10 - std::sqrt(9 - 2.25)).epsilon(0.001));
  CHECK(contact->gap_mm > 0);
  CHECK(contact->gap_mm <= 1e-3);
  CHECK((contact->on_first - contact->on_second).norm() == Approx(contact->gap_mm));
  CHECK((contact->on_first - 2.0 / 3 * Vec3(1.5, 0, std::sqrt(6.75))).norm() < 0.15);
  sweep.limit = contact->travel - 0.01;
  CHECK_FALSE(first_contact(*a, Pose::Identity(), *b, rest, sweep).value().has_value());
}

// Computed: a plate of half-thickness 0.5 hinged at (10, 0, 0) about the y axis; its lower face at height 0.5 of the
// hinge meets a post's corner at the angle whose face passes through that corner.
TEST_CASE("a hinged plate comes down on a post") {
  const SurfacePtr post = Surface::make(shapes::box({-1, -1, -5}, {1, 1, -3}));
  const SurfacePtr plate = Surface::make(shapes::box({-10, -3, 0}, {10, 3, 1}));
  Sweep sweep;
  sweep.kind = Sweep::Kind::turn;
  sweep.direction = -Vec3::UnitY();  // right-handed about -y: what lies towards -x goes down
  sweep.through = Vec3(10, 0, 0);
  sweep.limit = 60;
  const auto contact = first_contact(*post, Pose::Identity(), *plate, Pose::Identity(), sweep).value();
  REQUIRE(contact.has_value());
  // The face runs from the hinge; it touches the corner (1, ., -3): tan = 3 / 9; further out (-1, ., -3): 3 / 11 first.
  const double meets = degrees(std::atan2(3.0, 11.0));
  CHECK(contact->travel < meets);
  CHECK(contact->travel > meets - degrees(1e-3 / 11));  // a gap of a micrometre on a lever of 11 mm
  CHECK(contact->gap_mm > 0);
  CHECK(contact->gap_mm <= 1e-3);
}

TEST_CASE("no contact is passed, also where it opens again at once") {
  shapes::Random random(81);
  const SurfacePtr a = Surface::make(shapes::sphere({0, 0, 0}, 2, 3));
  const SurfacePtr b =
      Surface::make(shapes::joined(shapes::box({-1, -1, -1}, {1, 1, 1}), shapes::sphere({0, 0, 2}, 0.3, 2)));
  int met = 0, grazed = 0;
  for (int i = 0; i < 40; ++i) {
    Sweep sweep;
    sweep.kind = i % 2 ? Sweep::Kind::turn : Sweep::Kind::slide;
    sweep.direction = random.point(1).normalized();
    sweep.through = random.point(3);
    sweep.limit = i % 2 ? 90 : 12;
    const Pose turned = random.pose(0);
    const Pose rest = shapes::shifted(-6 * sweep.direction + random.point(2.2)) * turned;
    if (!(distance_after(*a, *b, rest, sweep, 0) > 0.01)) continue;
    const auto contact = first_contact(*a, Pose::Identity(), *b, rest, sweep).value();
    const double until = contact ? contact->travel : sweep.limit;
    for (int k = 0; k < 200; ++k) CHECK(distance_after(*a, *b, rest, sweep, until * k / 200) > 0);
    if (!contact) continue;
    ++met;
    CHECK(contact->gap_mm > 0);
    CHECK(contact->gap_mm <= 1e-3);
    CHECK(distance_after(*a, *b, rest, sweep, until) == Approx(contact->gap_mm).epsilon(1e-6));
    grazed += distance_after(*a, *b, rest, sweep, until + 0.02) > 0;
  }
  CHECK(met > 10);
  MESSAGE(met << " met, " << grazed << " of them only grazed");
}

// A corner that sticks 0.5 micrometres into the path of another is a contact 0.02 mm long that opens again.
TEST_CASE("a graze of half a micrometre is found") {
  const SurfacePtr a = Surface::make(shapes::sphere({0, 0, 0}, 2, 4));
  Sweep sweep;
  sweep.direction = Vec3::UnitX();
  sweep.limit = 20;
  const auto graze = first_contact(*a, Pose::Identity(), *a, shapes::shifted({-10, 0, 4 - 0.0005}), sweep).value();
  REQUIRE(graze.has_value());
  CHECK(graze->travel == Approx(10).epsilon(0.02));
  CHECK_FALSE(first_contact(*a, Pose::Identity(), *a, shapes::shifted({-10, 0, 4.0015}), sweep).value().has_value());
}

TEST_CASE("bodies that overlap from the beginning are in contact at once; an empty one never") {
  const SurfacePtr a = Surface::make(shapes::box({0, 0, 0}, {1, 1, 1})), none = Surface::make(Mesh{});
  Sweep sweep;
  sweep.limit = 5;
  const auto contact = first_contact(*a, Pose::Identity(), *a, shapes::shifted({0.5, 0.5, 0.5}), sweep).value();
  REQUIRE(contact.has_value());
  CHECK(contact->travel == 0);
  CHECK(contact->gap_mm == 0);
  CHECK_FALSE(first_contact(*a, Pose::Identity(), *none, Pose::Identity(), sweep).value().has_value());
}
