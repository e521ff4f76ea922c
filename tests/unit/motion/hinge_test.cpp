#include "motion/hinge.h"

#include <doctest/doctest.h>

#include <cmath>

#include "motion/guidance.h"

using namespace intercusp;

namespace {

constexpr double kBonwill = 101.6;  // side of the triangle, Bonwill 1858

/// A point by forward and up, in the midline.
Vec3 at(double forward, double up) {
  return {0, -forward, up};
}

HingeAxis at_origin() {
  return {Vec3::Zero(), Vec3::UnitX()};
}

/// The closing about an axis that raises a point by this much, closed form.
double closing_that_raises(const Vec3& point, double by_mm) {
  const double forward = -point.y(), radius = std::hypot(forward, point.z());
  const double begin = std::atan2(point.z(), forward);
  return degrees(std::asin((point.z() + by_mm) / radius) - begin);
}

}  // namespace

// Computed from Bonwill's triangle and Balkwill's angle of 26 degrees: 5 degrees of opening carry the incisors 3.6627
// mm back and 6.7458 mm down; the chord is 7.676 mm.
TEST_CASE("a hinge opening carries the incisors back and down") {
  const double r = kBonwill * std::cos(radians(30)), balkwill = radians(26);
  CHECK(r == doctest::Approx(87.9882).epsilon(1e-6));
  const Vec3 incisor = at(r * std::cos(balkwill), -r * std::sin(balkwill));
  const Vec3 by = at_origin().opened(5) * incisor - incisor;
  CHECK(std::abs(by.y() - 3.6627) < 1e-4);
  CHECK(std::abs(by.z() + 6.7458) < 1e-4);
  CHECK(std::abs(by.norm() - 7.676) < 1e-3);
  const Vec3 ten = at_origin().opened(10) * incisor - incisor;
  CHECK(std::abs(ten.y() - 7.8993) < 1e-4);
  CHECK(std::abs(ten.z() + 13.1467) < 1e-4);
  // Posselt's first 20 mm are a chord of 13.052 degrees.
  CHECK(std::abs((at_origin().opened(13.052) * incisor - incisor).norm() - 20) < 1e-3);
}

// Computed: the error is 2 |e| sin(theta / 2) everywhere, 0.1705 mm for 5 mm and a chord of 3 mm at the incisors.
TEST_CASE("a wrong axis moves every point of the jaw wrongly by the same amount") {
  const double theta = degrees(2 * std::asin(1.5 / 87.9882));
  const HingeAxis wrong = at_origin().shifted(3, -4);
  for (const Vec3& p : {at(88, -40), at(50, -30), Vec3(25, -20, -35)}) {
    const Vec3 error = wrong.opened(-theta) * p - at_origin().opened(-theta) * p;
    CHECK(std::abs(error.norm() - 0.1705) < 1e-4);
  }
}

// Computed: raising the incisor (88, -40) by 5 mm about the condyle, and about the mean centre of J Craniofac Surg
// 2006;17:898-904 (2.5 mm behind, 19.6 mm below), brings Pg (80, -80) forward by 4.362 and by 3.192 mm.
TEST_CASE("autorotation brings the chin forward, less about the published centre") {
  const Vec3 incisor = at(88, -40), chin = at(80, -80);
  const double about_condyle = closing_that_raises(incisor, 5);
  CHECK(std::abs(about_condyle - 3.216) < 1e-3);
  const Vec3 by = at_origin().opened(-about_condyle) * chin - chin;
  CHECK(std::abs(-by.y() - 4.362) < 1e-3);
  CHECK(std::abs(by.z() - 4.614) < 1e-3);
  const PublishedCentre& centre = published_centres().front();
  const HingeAxis published = at_origin().shifted(centre.back_mm, centre.up_mm);
  const double about_published = closing_that_raises(incisor - published.through, 5);
  CHECK(std::abs(about_published - 3.148) < 1e-3);
  const Vec3 less = published.opened(-about_published) * chin - chin;
  CHECK(std::abs(-less.y() - 3.192) < 1e-3);
  CHECK(std::abs(less.z() - 4.621) < 1e-3);
  CHECK(std::abs(-(published.opened(-about_published) * incisor - incisor).y() - 0.984) < 1e-3);
}

TEST_CASE("the axis runs through both condyles, or lies before and below the ear") {
  PointMap points{{"condyle_centre_right", {-50, 80, 40}}, {"condyle_centre_left", {52, 78, 42}}};
  const auto axis = condylar_axis(points);
  REQUIRE(axis.ok());
  for (const auto& [name, p] : points) CHECK((axis.value().opened(20) * p - p).norm() < 1e-9);
  CHECK_FALSE(arbitrary_axis(points).ok());
  points["Po_right"] = {-60, 90, 50};
  points["Po_left"] = {60, 90, 50};
  points["Or_right"] = {-35, 20, 50};
  points["Or_left"] = {35, 20, 50};
  const auto arbitrary = hinge_axis(points, "arbitrary");
  REQUIRE(arbitrary.ok());
  CHECK((arbitrary.value().through - Vec3(0, 80, 43)).norm() < 1e-9);
  CHECK_FALSE(hinge_axis(points, "elsewhere").ok());
}

// Hanau 1930 as the formula prints it; the lateral movement is computed (intercondylar distance 110 mm).
TEST_CASE("lateral path and movement to one side") {
  CHECK(hanau_lateral_deg(20) == 14.5);
  CHECK(hanau_lateral_deg(33) == 16.125);
  CHECK(hanau_lateral_deg(40) == 17);
  for (const bool to_right : {true, false}) {
    const double side = to_right ? -1 : 1;
    const Pose pose = laterotrusion(at_origin(), 110, to_right, 8);
    const Vec3 working(55 * side, 0, 0), other = -working, incisor = at(86.6025, 0);
    CHECK((pose * working - working).norm() < 1e-9);
    CHECK(std::abs((pose * other - other).y() + 8) < 1e-9);
    CHECK(std::abs((pose * other - other).x() * side - 0.2913) < 1e-4);
    const Vec3 by = pose * incisor - incisor;
    CHECK(std::abs(by.x() * side - 6.444) < 1e-3);
    CHECK(std::abs(-by.y() - 3.771) < 1e-3);
    CHECK(std::abs(degrees(Eigen::AngleAxisd(pose.linear()).angle()) - 4.171) < 1e-3);
  }
}
