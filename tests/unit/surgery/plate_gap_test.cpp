#include "surgery/plate_gap.h"

#include <doctest/doctest.h>

#include "geometry/shapes.h"
#include "surgery/stability.h"

using namespace intercusp;
using doctest::Approx;

namespace {

PosedBone block(const Vec3& low, const Vec3& high) {
  return {Surface::make(shapes::box(low, high)), Pose::Identity()};
}

/// An upright cylinder of many sides; its radius is that of the corners.
PosedBone upright_cylinder(const Vec3& foot, double radius, double height) {
  constexpr std::uint32_t kSides = 128;
  Mesh m;
  for (std::uint32_t i = 0; i < kSides; ++i) {
    const double a = 2 * kPi * i / kSides;
    for (const double z : {0.0, height}) {
      m.positions.push_back((foot + Vec3(radius * std::cos(a), radius * std::sin(a), z)).cast<float>());
    }
  }
  const std::uint32_t low = 2 * kSides, high = low + 1;
  m.positions.push_back(foot.cast<float>());
  m.positions.push_back((foot + Vec3(0, 0, height)).cast<float>());
  for (std::uint32_t i = 0; i < kSides; ++i) {
    const std::uint32_t a = 2 * i, b = 2 * ((i + 1) % kSides);
    m.triangles.insert(m.triangles.end(), {{a, b, a + 1}, {b, b + 1, a + 1}, {low, b, a}, {high, a + 1, b + 1}});
  }
  return {Surface::make(std::move(m)), Pose::Identity()};
}

/// A wall 3 mm thick above, seen from the front; the plate's site is in its middle.
const PosedBone& wall_above() {
  static const PosedBone kWall = block({-20, 0, 10}, {20, 3, 40});
  return kWall;
}

PlateSite front_site() {
  return {"site", "the site", {0, 0.4, 10.3}, -Vec3::UnitY(), -Vec3::UnitZ()};
}

PlateGap measured_gap(const PosedBone& below, const std::vector<PosedBone>& roots = {}) {
  const auto gap = measure_plate_gap(front_site(), {wall_above()}, {below}, roots);
  REQUIRE(gap.has_value());
  return *gap;
}

}  // namespace

TEST_CASE("gap, step, thickness and contact of blocks of known size") {
  struct Known {
    double gap, step, thick;
  };
  for (const Known& k :
       {Known{1.2, 2, 4.5}, Known{0.5, -1.5, 2}, Known{-0.8, 0, 3}, Known{6, 5.5, 8}, Known{0.2, 0, 0.6}}) {
    CAPTURE(k.gap);
    const PlateGap gap = measured_gap(block({-20, -k.step, -15}, {20, -k.step + k.thick, 10 - k.gap}));
    REQUIRE(gap.facing);
    CHECK(gap.gap_mm == Approx(k.gap).epsilon(1e-4));
    CHECK(gap.step_mm == Approx(k.step).epsilon(1e-4));
    CHECK(gap.reference_screw->thickness_mm == Approx(3).epsilon(1e-4));
    CHECK(gap.other_screw->thickness_mm == Approx(k.thick).epsilon(1e-4));
    const double shared = std::max(0.0, std::min(3.0, -k.step + k.thick) - std::max(0.0, -k.step));
    CHECK(std::abs(gap.contact_mm2 - (k.gap <= 1 ? 12 * shared : 0)) <= 12 * 0.41);
    if (k.gap > 1) CHECK(gap.contact_mm2 == 0);
    CHECK((gap.reference_screw->entry - gap.other_screw->entry).z() ==
          Approx(2 * kScrewFromEdge + k.gap).epsilon(1e-4));
  }
}

TEST_CASE("a split come forward or set back: the outer plates count, not the inner one behind them") {
  // The other bone's outer plate ends at a step of 3 mm, behind which its inner plate goes on.
  const auto stepped = [](double gap) {
    return std::vector<PosedBone>{block({-20, 1, -15}, {20, 5, 10 - gap}), block({-20, 4, -15.5}, {20, 6, 39})};
  };
  for (const double gap : {4.0, -1.3}) {
    const auto measured = measure_plate_gap(front_site(), {wall_above()}, stepped(gap), {});
    REQUIRE(measured.has_value());
    REQUIRE(measured->facing);
    CHECK(measured->gap_mm == Approx(gap).epsilon(1e-4));
    CHECK(measured->step_mm == Approx(-1).epsilon(1e-4));
  }
}

TEST_CASE("what stands far off does not face the plate, and that is said") {
  const PlateGap gap = measured_gap(block({-20, -30, -15}, {20, -20, 9}));
  CHECK_FALSE(gap.facing);
  CHECK(plate_advice(gap).find("graft") != std::string::npos);
  CHECK_FALSE(measure_plate_gap(front_site(), {block({-20, 40, 10}, {20, 44, 40})}, {wall_above()}, {}).has_value());
}

TEST_CASE("a screw's distance to a root is that to a cylinder of known place") {
  const double radius = 1.5, behind = 9;
  const PlateGap gap =
      measured_gap(block({-20, 0, -15}, {20, 12, 9.5}), {upright_cylinder({0.2, behind, -10}, radius, 14)});
  const ScrewPath& screw = *gap.other_screw;
  CHECK(screw.thickness_mm == Approx(12).epsilon(1e-4));
  CHECK(screw.tip.y() == Approx(kScrewLength).epsilon(1e-4));
  const double axis = std::hypot(0.2, behind - kScrewLength);
  const double above = std::max(0.0, screw.tip.z() - 4);  // the cylinder ends at 4
  CHECK(*screw.tip_to_root_mm == Approx(std::hypot(axis - radius, above)).epsilon(2e-3));
  CHECK(*screw.path_to_root_mm <= *screw.tip_to_root_mm);
  const PlateGap through =
      measured_gap(block({-20, 0, -15}, {20, 12, 9.5}), {upright_cylinder({0, 6, -10}, radius, 19)});
  CHECK(*through.other_screw->tip_to_root_mm == 0);
  CHECK(plate_advice(through).find("root") != std::string::npos);
}

TEST_CASE("moving everything rigidly changes no gap") {
  const Pose moved = Eigen::Translation3d(12, -40, 7) * Eigen::AngleAxisd(0.7, Vec3(1, -1, 2).normalized());
  PosedBone above = wall_above(), below = block({-20, -2, -15}, {20, 2.5, 9.4});
  const PlateGap before = measured_gap(below);
  above.pose = below.pose = moved;
  PlateSite site = front_site();
  site.anchor = moved * site.anchor;
  site.outward = moved.linear() * site.outward;
  site.across = moved.linear() * site.across;
  const auto after = measure_plate_gap(site, {above}, {below}, {});
  REQUIRE(after.has_value());
  CHECK(after->gap_mm == Approx(before.gap_mm).epsilon(1e-4));
  CHECK(after->step_mm == Approx(before.step_mm).epsilon(1e-4));
}

TEST_CASE("moves are ranked as the hierarchy of stability reports") {
  // Proffit, Turvey and Phillips 1996 and 2007 (Head Face Med 3:21); ranks from memory but for chin and asymmetry.
  PlanExtent e;
  CHECK(stability_notes(e).empty());
  e.maxilla_up_mm = 3;
  e.mandible_forward_mm = 6;
  auto notes = stability_notes(e);
  REQUIRE(notes.size() == 3);
  CHECK(notes[0].rank == "very stable");
  CHECK(notes[1].rank == "very stable");
  CHECK(notes[2].rank == "stable only with rigid fixation");
  e = {};
  e.maxilla_up_mm = -4;
  e.mandible_forward_mm = -13;
  e.maxilla_wider_mm = 5;
  notes = stability_notes(e);
  REQUIRE(notes.size() == 3);
  for (const StabilityNote& note : notes) CHECK(note.rank == "problematic");
  CHECK_FALSE(notes[0].beyond_usual);
  CHECK(notes[2].beyond_usual);  // over 12 mm back (textbooks; common practice)
  e = {};
  e.maxilla_forward_mm = 5;
  e.sideways_mm = 2;
  e.chin_forward_mm = 4;
  notes = stability_notes(e);
  REQUIRE(notes.size() == 3);
  CHECK(notes[0].rank == "stable");
  CHECK(notes[1].rank == "very stable");
  CHECK(notes[2].rank == "stable");
  for (const StabilityNote& note : notes) CHECK(note.words.find("reported") != std::string::npos);
}
