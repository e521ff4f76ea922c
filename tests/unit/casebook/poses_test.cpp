#include <doctest/doctest.h>

#include "casebook/case.h"
#include "casebook/small_case.h"

using namespace intercusp;

namespace {

Plan plan_of(std::vector<PlanEntry> entries) {
  Plan plan;
  plan.name = "A";
  plan.entries = std::move(entries);
  return plan;
}

Movement forward(double mm) {
  Movement m;
  m.forward_mm = mm;
  return m;
}

Movement pitch(double deg) {
  Movement m;
  m.pitch_deg = deg;
  return m;
}

Vec3 where(const Case& c, const Plan& plan, Moment at, const char* landmark) {
  const auto poses = segment_poses(c, &plan, at);
  REQUIRE(poses.ok());
  return points_at(c, poses.value()).at(landmark);
}

}  // namespace

TEST_CASE("teeth of any kind are no bone, whatever jaw they are named for") {
  for (const char* teeth : {"upper_arch", "upper_teeth", "tooth_11", "lower_roots", "upper_arch_right"}) {
    CAPTURE(teeth);
    CHECK(is_dental(teeth));
    CHECK_FALSE(is_upper_bone(teeth));
    CHECK_FALSE(is_lower_bone(teeth));
  }
  for (const char* bone : {"upper_bone", "maxilla", "ramus_left", "chin", "cranium"}) CHECK_FALSE(is_dental(bone));
  CHECK(holds_roots("upper_teeth"));
  CHECK_FALSE(holds_roots("upper_arch"));
}

TEST_CASE("a movement moves its own jaw and no other") {
  const Case c = test::small_case();
  const Plan plan = plan_of({{"upper", forward(3), ""}});
  CHECK((where(c, plan, Moment::planned, "11.incisal_edge_mid") - Vec3(-4, -3, 0)).norm() < 1e-12);
  CHECK((where(c, plan, Moment::planned, "41.incisal_edge_mid") - Vec3(-3, 3, 2)).norm() < 1e-12);
}

TEST_CASE("at rest nothing has moved, whatever the plan") {
  const Case c = test::small_case();
  const Plan plan = plan_of({{"upper", forward(3), ""}});
  CHECK((where(c, plan, Moment::rest, "11.incisal_edge_mid") - Vec3(-4, 0, 0)).norm() < 1e-12);
}

TEST_CASE("the intermediate position holds the movements of the first jaw alone") {
  const Case c = test::small_case();
  Plan plan = plan_of({{"upper", forward(3), ""}, {"lower", forward(-2), ""}});
  CHECK(where(c, plan, Moment::intermediate, "11.incisal_edge_mid").y() == doctest::Approx(-3));
  CHECK(where(c, plan, Moment::intermediate, "41.incisal_edge_mid").y() == doctest::Approx(3));
  plan.first_jaw = "lower";
  CHECK(where(c, plan, Moment::intermediate, "11.incisal_edge_mid").y() == doctest::Approx(0));
  CHECK(where(c, plan, Moment::intermediate, "41.incisal_edge_mid").y() == doctest::Approx(5));
}

// Worked by hand: pitch 4 degrees about the incisal midpoint lowers what lies 30 mm behind it by 30 sin 4 = 2.0927 mm.
TEST_CASE("the pivot of a turn is the midpoint of that arch's incisal edges, where it stands at that moment") {
  const Case c = test::small_case();
  const Plan plan = plan_of({{"upper", forward(5), ""}, {"upper", pitch(4), ""}});
  const Vec3 molar = where(c, plan, Moment::planned, "16.mesiobuccal_cusp");
  CHECK(molar.z() == doctest::Approx(-30 * std::sin(radians(4))).epsilon(1e-9));
  CHECK(molar.y() == doctest::Approx(-5 + 30 * std::cos(radians(4))).epsilon(1e-9));
  CHECK((where(c, plan, Moment::planned, "11.incisal_edge_mid") - Vec3(-4, -5, 0)).norm() < 1e-9);
}

TEST_CASE("a named pivot stays where it is") {
  const Case c = test::small_case();
  const Plan plan = plan_of({{"lower", pitch(-6), "16.mesiobuccal_cusp"}});
  const auto poses = segment_poses(c, &plan, Moment::planned);
  REQUIRE(poses.ok());
  CHECK((poses.value().at("lower") * Vec3(-26, 30, 0) - Vec3(-26, 30, 0)).norm() < 1e-12);
}

TEST_CASE("a turn whose pivot is not placed is an error that names it, a shift is not") {
  Case c = test::small_case();
  c.landmarks.erase("31.incisal_edge_mid");
  const Plan turn = plan_of({{"lower", pitch(1), ""}});
  const auto poses = segment_poses(c, &turn, Moment::planned);
  REQUIRE_FALSE(poses.ok());
  CHECK(poses.error().what.find("31.incisal_edge_mid") != std::string::npos);
  const Plan shift = plan_of({{"lower", forward(1), ""}});
  CHECK(segment_poses(c, &shift, Moment::planned).ok());
}

TEST_CASE("the frame is set from landmarks in scanner space, and then landmarks read in the patient frame") {
  Case c = test::small_case();
  const Pose scanner = Eigen::Translation3d(100, -40, 7) * Eigen::AngleAxisd(1.1, Vec3(0.3, -1, 0.5).normalized());
  for (auto& [name, landmark] : c.landmarks) landmark.at = scanner * landmark.at;
  c.frame_known = false;
  REQUIRE(settle_frame(c));
  const PointMap points = points_at(c, {});
  CHECK((points.at("16.mesiobuccal_cusp") - Vec3(-26, 30, 0)).norm() < 1e-9);
  CHECK((points.at("41.incisal_edge_mid") - Vec3(-3, 3, 2)).norm() < 1e-9);
  CHECK((c.patient_from_scans * scanner).matrix().isIdentity(1e-9));
}

TEST_CASE("a frame that a plan rests on does not change when a landmark is corrected") {
  Case c = test::small_case();
  c.plans.push_back(plan_of({{"upper", forward(3), ""}}));
  c.landmarks["16.mesiobuccal_cusp"].at.z() += 2;
  REQUIRE(settle_frame(c));
  CHECK(c.patient_from_scans.matrix().isIdentity(0));
}

TEST_CASE("what may move: not before the frame is known, and not an upper jaw that bone still holds") {
  Case c = test::small_case();
  CHECK(can_move(c, "upper").ok());
  CHECK_FALSE(can_move(c, "chin").ok());
  c.bodies.push_back(make_body("upper_bone", Surface::make(test::tetrahedron({0, 0, 5}))));
  const Status held = can_move(c, "upper");
  REQUIRE_FALSE(held.ok());
  CHECK(held.error().remedy.find("cut first") != std::string::npos);
  CHECK(can_move(c, "lower").ok());
  Case blank = test::small_case();
  blank.landmarks.clear();
  blank.frame_known = false;
  CHECK_FALSE(can_move(blank, "lower").ok());
}
