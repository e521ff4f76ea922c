#include "surgery/splint.h"

#include <doctest/doctest.h>

#include <cmath>
#include <functional>

#include "geometry/contact.h"
#include "geometry/mesh_check.h"
#include "geometry/self_crossings.h"
#include "surgery/splint_check.h"

using namespace intercusp;

namespace {

constexpr double kRoom = 0.1;

/// A block, 10 x 10 mm and from z = -4 to 2, in which bodies leave their imprint from above.
class BlockField : public ScalarField {
 public:
  double value(const Vec3& p) const override {
    return std::max({std::abs(p.x()) - 5, std::abs(p.y()) - 5, p.z() - 2, -4 - p.z()});
  }
};

/// A surface of revolution about z: radius at the heights given, closed at both ends.
Mesh turned_profile(const std::vector<Eigen::Vector2d>& profile, int sides) {
  Mesh m;
  const auto count = static_cast<std::uint32_t>(sides);
  for (const Eigen::Vector2d& ring : profile) {
    for (int i = 0; i < sides; ++i) {
      const double a = 2 * kPi * i / sides;
      m.positions.push_back(Vec3(ring.x() * std::cos(a), ring.x() * std::sin(a), ring.y()).cast<float>());
    }
  }
  for (std::uint32_t r = 0; r + 1 < profile.size(); ++r) {
    for (std::uint32_t i = 0; i < count; ++i) {
      const std::uint32_t a = r * count + i, b = r * count + (i + 1) % count, c = a + count, d = b + count;
      m.triangles.push_back({a, b, d});
      m.triangles.push_back({a, d, c});
    }
  }
  const auto low = static_cast<std::uint32_t>(m.positions.size()), high = low + 1;
  m.positions.push_back(Vec3f(0, 0, static_cast<float>(profile.front().y())));
  m.positions.push_back(Vec3f(0, 0, static_cast<float>(profile.back().y())));
  const std::uint32_t last = static_cast<std::uint32_t>(profile.size() - 1) * count;
  for (std::uint32_t i = 0; i < count; ++i) {
    m.triangles.push_back({low, (i + 1) % count, i});
    m.triangles.push_back({high, last + i, last + (i + 1) % count});
  }
  return m;
}

Mesh ball(const Vec3& centre, double radius, int n = 60) {
  std::vector<Eigen::Vector2d> profile;
  for (int i = 1; i < n; ++i) profile.emplace_back(radius * std::sin(kPi * i / n), -radius * std::cos(kPi * i / n));
  Mesh m = turned_profile(profile, 2 * n);
  for (Vec3f& p : m.positions) p += centre.cast<float>();
  return m;
}

struct Imprinted {
  SplintSolid solid;
  SurfacePtr body;
};

Imprinted imprint_of(const Mesh& body, double step = 0.3) {
  SplintSettings settings;
  settings.step_mm = step;
  const BlockField block;
  SplintParts parts;
  parts.form = &block;
  parts.box = Box(Vec3(-5, -5, -4), Vec3(5, 5, 2));
  const Box region(Vec3(-7, -7, -6), Vec3(7, 7, 4));
  const SurfacePtr surface = Surface::make(body);
  const SurfacePtr elsewhere = Surface::make(ball(Vec3(0, 0, -40), 2));
  const SeatField upper(surface, Vec3::UnitZ(), region, 0.25, 1.0), lower(elsewhere, -Vec3::UnitZ(), region, 0.5, 1.0);
  parts.upper = &upper;
  parts.lower = &lower;
  auto made = make_solid(parts, settings, Progress());
  REQUIRE_MESSAGE(made.ok(), (made.ok() ? "" : made.error().sentence()));
  return {std::move(made).value(), surface};
}

double block_volume(double step = 0.3) {
  static const double kVolume = signed_volume(imprint_of(ball(Vec3(0, 0, 40), 2), step).solid.mesh);
  return kVolume;
}

void check_imprint(const Mesh& body, double expected) {
  const Imprinted made = imprint_of(body);
  CHECK(check_mesh(made.solid.mesh).closed());
  CHECK(self_crossings(made.solid.mesh).empty());
  CHECK(std::abs(block_volume() - signed_volume(made.solid.mesh) - expected) < 0.005 * expected);
}

/// Volume of an offset cone, apex down at height 0, half angle a, up to z: the cone's own offset, whose tip is round.
double offset_cone(double a, double room, double z) {
  const double apex = -room / std::sin(a), touch = -room * std::sin(a);
  const auto cone = [&](double height) { return kPi * std::pow(std::tan(a), 2) * std::pow(height, 3) / 3; };
  const double cap = room - room * std::sin(a);
  return cone(z - apex) - cone(touch - apex) + kPi * cap * cap * (3 * room - cap) / 3;
}

}  // namespace

// Closed forms: the cap of a ball, its half with a shaft above, the segment of a disc, the offset of a cone.
TEST_CASE("splint imprints: the room of a ball, a cylinder and a cone is what their closed forms say") {
  const double r = 4 + kRoom, cap = r - 2;
  check_imprint(ball(Vec3(0, 0, 4), 4), kPi * cap * cap * (3 * r - cap) / 3);
  // Its equator lies below the top: what is above it is blocked out upwards.
  check_imprint(ball(Vec3(0, 0, 1), 4), 2.0 / 3 * kPi * r * r * r + kPi * r * r * 1);
  Mesh bar = turned_profile({{4, -20}, {4, 20}}, 120);
  const Pose lying(Eigen::Translation3d(0, 0, 4) * Eigen::AngleAxisd(kPi / 2, Vec3::UnitY()));
  const double angle = std::acos(2 / r);
  check_imprint(transformed(bar, lying), 10 * (r * r * angle - 2 * r * std::sin(angle)));
  constexpr double a = 0.5;
  std::vector<Eigen::Vector2d> profile;
  for (int i = 1; i <= 40; ++i) profile.emplace_back(0.2 * i * std::tan(a), 0.2 * i);
  Mesh cone = turned_profile(profile, 120);
  const auto tip = static_cast<std::size_t>(cone.positions.size() - 2);
  cone.positions[tip] = Vec3f(0, 0, 0);
  for (Vec3f& p : cone.positions) p.z() -= 2;
  check_imprint(cone, offset_cone(a, kRoom, 4));
}

TEST_CASE("splint imprints: vertices keep the clearance, everywhere else within a little") {
  const Imprinted made = imprint_of(ball(Vec3(0.3, -0.2, 3.5), 4));
  std::size_t imprint = 0;
  for (std::size_t v = 0; v < made.solid.part.size(); ++v) {
    if (made.solid.part[v] != SplintPart::upper_imprint) continue;
    ++imprint;
    const double r = (made.solid.mesh.positions[v].cast<double>() - Vec3(0.3, -0.2, 3.5)).norm();
    CHECK(std::abs(r - 4 - kRoom) < 0.005);
  }
  CHECK(imprint > 500);
}

// A body in the offset of itself moves by c / sin(a) along the axis of a cone and c / cos(a) across it, where the walls
// stand at the angle a to the axis; a ball moves by c every way.
TEST_CASE("splint seats: how far a ball and a cone rock is what their clearance allows, and no search finds more") {
  constexpr double a = 0.5;
  std::vector<Eigen::Vector2d> profile;
  for (int i = 1; i <= 17; ++i) profile.emplace_back(0.5 * i * std::tan(a), 0.5 * i - 6);  // its tip below the block
  const Mesh cone = turned_profile(profile, 72);
  struct Seated {
    Mesh body;
    double beyond, across;
  };
  for (const Seated& seated :
       {Seated{cone, kRoom / std::sin(a), kRoom / std::cos(a)}, Seated{ball(Vec3(0, 0, 1), 4, 36), kRoom, kRoom}}) {
    const Imprinted made = imprint_of(seated.body, 0.4);
    const SurfacePtr splint = Surface::make(made.solid.mesh);
    SplintSeat seat;
    sweep_seat(*splint, *made.body, Vec3::UnitZ(), Vec3(0, 0, 0), seat);
    CHECK(seat.seats);
    CHECK(std::abs(seat.gap_mm - kRoom) < 0.015);
    CHECK(std::abs(seat.beyond_mm - seated.beyond) < 0.03);
    for (const double way : {seat.rock.left_mm[0], seat.rock.left_mm[1], seat.rock.forward_mm[0]}) {
      CHECK(std::abs(way - seated.across) < 0.02);
    }
    // By brute force: just below what was found nothing crosses, just above it does.
    for (const double share : {0.97, 1.03}) {
      const Pose moved(Eigen::Translation3d(-share * seat.beyond_mm * Vec3::UnitZ()));
      const ContactResult found = find_contact(*splint, Pose::Identity(), *made.body, moved, {});
      CHECK(found.crossings.empty() == (share < 1));
    }
  }
}

TEST_CASE("splint settings: what cannot be made is refused with the nearest value") {
  SplintSettings settings;
  CHECK(check_settings(settings).ok());
  settings.clearance_mm = 0.9;
  REQUIRE_FALSE(check_settings(settings).ok());
  CHECK(check_settings(settings).error().sentence().find("0.5") != std::string::npos);
  settings = SplintSettings();
  settings.upper_tilt_deg = {40, 0};
  CHECK_FALSE(check_settings(settings).ok());
}
