#include "surgery/movement.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace intercusp;

namespace {

double total_angle_deg(const Mat3& r) {
  return degrees(std::acos((r.trace() - 1) / 2));
}
Mat3 about(double deg, const Vec3& axis) {
  return Eigen::AngleAxisd(radians(deg), axis).toRotationMatrix();
}

// Invented upper arch: incisal midpoint and first molar cusps.
PointMap arch() {
  return {{"incisors", {0, 0, 0}}, {"molar_right", {-26, 35, 1}}, {"molar_left", {26, 35, 1}}, {"ANS", {0, 3, 28}}};
}

}  // namespace

// Golden value of the project's convention (also recomputed by SciPy in tests/oracle).
TEST_CASE("roll 2, pitch 4, yaw 3 degrees give the golden rotation") {
  Mat3 golden;
  golden << 0.9981, -0.0522, 0.0312, 0.0499, 0.9962, 0.0714, -0.0348, -0.0698, 0.9970;
  CHECK((rotation_of(4, 2, 3) - golden).cwiseAbs().maxCoeff() < 5e-5);
}

// Computed, worked frame checks F3 and F4: the order of turns matters, and Eigen's axis turns are right-handed.
TEST_CASE("fixed-axis turns in two orders have different total angles") {
  const Mat3 f3 = about(2, Vec3::UnitZ()) * about(3, Vec3::UnitY()) * about(4, Vec3::UnitX());
  const Mat3 f4 = about(4, Vec3::UnitX()) * about(3, Vec3::UnitY()) * about(2, Vec3::UnitZ());
  CHECK(std::abs(total_angle_deg(f3) - 5.3456) < 1e-4);
  CHECK(std::abs(total_angle_deg(f4) - 5.4233) < 1e-4);
  // The same turn as f3 in clinical words must come back whatever the order inside.
  const Angles a = angles_of(f3);
  CHECK((rotation_of(a.pitch_deg, a.roll_deg, a.yaw_deg) - f3).norm() < 1e-12);
}

TEST_CASE("each turn goes the way its word says") {
  const Vec3 front(0, -50, 0), left(50, 0, 0);
  CHECK((rotation_of(10, 0, 0) * front).z() > 8);  // pitch: front goes up
  CHECK((rotation_of(0, 10, 0) * left).z() < -8);  // roll: the patient's left goes down
  CHECK((rotation_of(0, 0, 10) * front).x() > 8);  // yaw: front goes to the patient's left
}

TEST_CASE("angles come back from every rotation, also looking straight up") {
  for (const double pitch : {-89.0, -30.0, 0.0, 12.5, 75.0}) {
    for (const double roll : {-170.0, -8.0, 0.0, 33.0}) {
      for (const double yaw : {-120.0, 0.0, 4.0, 179.0}) {
        const Angles a = angles_of(rotation_of(pitch, roll, yaw));
        CHECK(a.pitch_deg == doctest::Approx(pitch).epsilon(1e-9));
        CHECK(a.roll_deg == doctest::Approx(roll).epsilon(1e-9));
        CHECK(a.yaw_deg == doctest::Approx(yaw).epsilon(1e-9));
      }
    }
  }
  for (const double pitch : {-90.0, 90.0}) {
    const Mat3 r = rotation_of(pitch, 20, 30);
    const Angles a = angles_of(r);
    CHECK((rotation_of(a.pitch_deg, a.roll_deg, a.yaw_deg) - r).norm() < 1e-9);
  }
}

// Computed, worked frame check F5: pitch 4 degrees about the incisal edge, PNS 50 mm behind.
TEST_CASE("pitch about the incisal edge moves a point 50 mm behind by hand-worked amounts") {
  Movement m;
  m.pitch_deg = 4;
  const Vec3 pivot(1, -60, -20), behind = pivot + Vec3(0, 50, 0);
  const Vec3 shift = pose_of(m, pivot) * behind - behind;
  CHECK(std::abs(shift.z() + 3.4878) < 1e-4);  // front up: the back goes down
  CHECK(std::abs(shift.y() + 0.1218) < 1e-4);
  CHECK((pose_of(m, pivot) * pivot - pivot).norm() < 1e-12);
}

// Computed, worked frame checks F6 (yaw) and F7 (roll).
TEST_CASE("yaw about the upper midline and roll across the molars by hand-worked amounts") {
  Movement yaw;
  yaw.yaw_deg = 2;
  const Vec3 pivot(0, -60, 0), behind = pivot + Vec3(0, 60, 0);
  CHECK(std::abs((pose_of(yaw, pivot) * behind - behind).x() + 2.0940) < 1e-4);
  Movement roll;
  roll.roll_deg = 4;
  const Pose turned = pose_of(roll, pivot);
  const double right = (turned * Vec3(-27.5, -20, 0)).z(), left = (turned * Vec3(27.5, -20, 0)).z();
  CHECK(std::abs(right - left - 3.8366) < 1e-4);
}

TEST_CASE("a shift goes forward, up and left whatever the pivot, and adds to the turn about it") {
  Movement m;
  m.forward_mm = 5;
  m.up_mm = 2;
  m.left_mm = -1.5;
  CHECK((pose_of(m, Vec3(9, 9, 9)) * Vec3(1, 2, 3) - Vec3(-0.5, -3, 5)).norm() < 1e-12);
  m.yaw_deg = 90;  // by hand: 10 mm in front of the pivot turns to 10 mm left of it
  CHECK((pose_of(m, Vec3(0, 0, 0)) * Vec3(0, -10, 0) - Vec3(8.5, -5, 2)).norm() < 1e-12);
}

TEST_CASE("targets on one landmark are met by a pure shift") {
  const Result<Movement> m = solve_movement(arch(), Vec3::Zero(), {{"incisors", 5.0, 2.0, -1.5}}, {});
  REQUIRE(m.ok());
  CHECK(m.value().forward_mm == doctest::Approx(5));
  CHECK(m.value().up_mm == doctest::Approx(2));
  CHECK(m.value().left_mm == doctest::Approx(-1.5));
  CHECK(std::abs(m.value().pitch_deg) + std::abs(m.value().roll_deg) + std::abs(m.value().yaw_deg) < 1e-9);
}

TEST_CASE("heights at incisors and molars give pitch and roll") {
  const std::vector<MovementTarget> targets = {
      {"incisors", 5.0, 2.0, -1.5}, {"molar_right", {}, 3.0, {}}, {"molar_left", {}, 1.0, {}}};
  FixedQuantities fixed;
  fixed.yaw_deg = 0;
  const Result<Movement> m = solve_movement(arch(), Vec3::Zero(), targets, fixed);
  REQUIRE(m.ok());
  const Pose pose = pose_of(m.value(), Vec3::Zero());
  const auto shift = [&](const char* name) { return Vec3(pose * arch().at(name) - arch().at(name)); };
  CHECK((shift("incisors") - Vec3(-1.5, -5, 2)).norm() < 1e-6);
  CHECK(std::abs(shift("molar_right").z() - 3) < 1e-6);
  CHECK(std::abs(shift("molar_left").z() - 1) < 1e-6);
  CHECK(m.value().roll_deg ==
        doctest::Approx(degrees(std::asin(2.0 / 52))).epsilon(1e-6));  // left side lower by 2 over 52 mm
  CHECK(m.value().yaw_deg == 0);
}

TEST_CASE("the solution is the smallest: no movement nearby that meets the targets is smaller") {
  const PointMap points = arch();
  const Vec3 pivot(0, 30, 10);
  const std::vector<MovementTarget> targets = {{"incisors", {}, 3.0, {}}};
  const Movement m = solve_movement(points, pivot, targets, {}).value();
  const auto size = [](const Movement& x) {
    return x.forward_mm * x.forward_mm + x.up_mm * x.up_mm + x.left_mm * x.left_mm + x.pitch_deg * x.pitch_deg +
           x.roll_deg * x.roll_deg + x.yaw_deg * x.yaw_deg;
  };
  for (const double pitch : {m.pitch_deg - 0.2, m.pitch_deg + 0.2}) {
    FixedQuantities held;
    held.pitch_deg = pitch;
    CHECK(size(solve_movement(points, pivot, targets, held).value()) > size(m));
  }
  CHECK(m.pitch_deg > 0.5);  // with the pivot 30 mm behind, part of the way up is a turn
}

TEST_CASE("a quantity that is held stays while the rest is solved") {
  FixedQuantities fixed;
  fixed.pitch_deg = 4;
  fixed.left_mm = 1;
  const Movement m = solve_movement(arch(), Vec3::Zero(), {{"ANS", 2.0, 1.0, {}}}, fixed).value();
  CHECK(m.pitch_deg == 4);
  CHECK(m.left_mm == 1);
  const Vec3 ans = arch().at("ANS");
  const Vec3 shift = pose_of(m, Vec3::Zero()) * ans - ans;
  CHECK(std::abs(shift.y() + 2) < 1e-6);
  CHECK(std::abs(shift.z() - 1) < 1e-6);
}

TEST_CASE("targets that contradict each other are refused with the amount") {
  FixedQuantities fixed;
  fixed.up_mm = 1;
  fixed.pitch_deg = 0;
  fixed.roll_deg = 0;
  fixed.yaw_deg = 0;
  const Result<Movement> m = solve_movement(arch(), Vec3::Zero(), {{"incisors", {}, 3.0, {}}}, fixed);
  REQUIRE_FALSE(m.ok());
  CHECK(m.error().what.find("incisors misses by 2.00 mm up") != std::string::npos);
  // A rigid jaw cannot narrow: two molars asked to come 4 mm nearer to each other miss by half each.
  const Result<Movement> level =
      solve_movement(arch(), Vec3::Zero(), {{"molar_right", {}, {}, 2.0}, {"molar_left", {}, {}, -2.0}}, {});
  REQUIRE_FALSE(level.ok());
  CHECK(level.error().what.find("misses by 2.00 mm") != std::string::npos);
}

TEST_CASE("a target on a landmark that is not placed is refused by name") {
  const Result<Movement> m = solve_movement(arch(), Vec3::Zero(), {{"PNS", 1.0, {}, {}}}, {});
  REQUIRE_FALSE(m.ok());
  CHECK(m.error().where == "PNS");
}

// Worked by hand: three wishes for the height of one point cannot all come true; least squares takes their mean.
TEST_CASE("targets that contradict each other are met as nearly as possible") {
  const PointMap points{{"a", {0, 0, 0}}, {"b", {0, 0, 5}}};
  FixedQuantities held;
  held.pitch_deg = 0;
  held.roll_deg = 0;
  held.yaw_deg = 0;
  const std::vector<MovementTarget> targets{{"a", std::nullopt, 1.0, std::nullopt}, {"b", 2.0, 4.0, std::nullopt}};
  CHECK_FALSE(solve_movement(points, Vec3::Zero(), targets, held).ok());
  const auto fitted = fit_movement(points, Vec3::Zero(), targets, held);
  REQUIRE(fitted.ok());
  CHECK(fitted.value().movement.up_mm == doctest::Approx(2.5));
  CHECK(fitted.value().movement.forward_mm == doctest::Approx(2));
  REQUIRE(fitted.value().misses.size() == 3);
  CHECK(fitted.value().misses[0].miss_mm == doctest::Approx(1.5));
  CHECK(fitted.value().misses[2].miss_mm == doctest::Approx(-1.5));
  CHECK(fitted.value().rms_mm == doctest::Approx(std::sqrt(4.5 / 3)));
  const auto exact = fit_movement(arch(), Vec3::Zero(),
                                  {{"incisors", 5.0, 2.0, -1.5},
                                   {"molar_right", std::nullopt, 3.0, std::nullopt},
                                   {"molar_left", std::nullopt, 1.0, std::nullopt}},
                                  {});
  REQUIRE(exact.ok());
  CHECK(exact.value().rms_mm < 1e-6);
}

TEST_CASE("the table says what every landmark does in clinical directions") {
  const auto shifts = landmark_shifts({{"x", {1, 2, 3}}, {"gone", {0, 0, 0}}}, {{"x", {2, 0, 2.5}}});
  REQUIRE(shifts.size() == 1);
  CHECK(shifts[0].forward_mm == 2);
  CHECK(shifts[0].up_mm == -0.5);
  CHECK(shifts[0].left_mm == 1);
}
