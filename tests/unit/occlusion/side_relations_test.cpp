#include <doctest/doctest.h>

#include "occlusion/model_bite.h"
#include "occlusion/relation.h"

using namespace intercusp;

namespace {

// Worked 3D example (computed): right side, groove (-24,-5,0), cusp (-26,-9,3), mesial direction as given.
MeasureInput worked_molar(const Vec3& mesial) {
  MeasureInput in;
  in.frame = OcclusalFrame{};
  in.points["46.buccal_groove"] = Vec3(-24, -5, 0);
  in.points["16.mesiobuccal_cusp"] = Vec3(-26, -9, 3);
  in.points["46.contact_distal"] = Vec3(-25, 0, -2);
  in.points["44.contact_mesial"] = Vec3(-25, 0, 1) + 25 * mesial;  // another height: projected away
  return in;
}

}  // namespace

// Angle 1899 for the classes; quarter units are common practice, no source; the arithmetic is computed.
TEST_CASE("millimetres to quarter units of 7.0 mm") {
  CHECK(quarter_units(2.0, 7) == 1);
  CHECK(quarter_units(3.5, 7) == 2);
  CHECK(quarter_units(7.0, 7) == 4);
  CHECK(quarter_units(-1.0, 7) == -1);
  CHECK(quarter_units(0.80, 7) == 0);
  CHECK(quarter_units(9.0, 7) == 5);
}

// Computed: ties are rounded away from zero, so an eighth of a unit exactly is no longer Class I.
TEST_CASE("edges of the quarter units") {
  CHECK(quarter_units(0.874, 7) == 0);
  CHECK(quarter_units(0.875, 7) == 1);
  CHECK(quarter_units(-0.875, 7) == -1);
  CHECK(quarter_units(-0.874, 7) == 0);
  CHECK(quarter_units(2.624, 7) == 1);
  CHECK(quarter_units(2.625, 7) == 2);
  CHECK(quarter_units(4.375, 7) == 3);
  CHECK(quarter_units(6.125, 7) == 4);
  CHECK(quarter_units(7.875, 7) == 5);
  CHECK(quarter_units(0.875 - 1e-12, 7) == 1);  // rounding errors of a rigid motion decide nothing
  CHECK(std::string(angle_class(quarter_units(0.875, 7))) == "II");
  CHECK(std::string(angle_class(quarter_units(-0.875, 7))) == "III");
  CHECK(std::string(angle_class(quarter_units(0.874, 7))) == "I");
}

TEST_CASE("the worked molar example reads 4.000 mm, and 3.346 with the side turned 15 degrees") {
  const MeasureValue straight = read(worked_molar(Vec3(0, -1, 0)), "molar_right");
  CHECK(std::abs(straight.value - 4.0) < 1e-9);
  CHECK(straight.quarters == 2);
  CHECK(straight.relation == "II");
  CHECK(std::abs(*straight.sagittal_mm - 4.0) < 1e-9);
  const Vec3 turned(std::sin(radians(15)), -std::cos(radians(15)), 0);
  const MeasureValue v = read(worked_molar(turned), "molar_right");
  CHECK(std::abs(v.value - 3.346) < 1e-3);
  CHECK(v.quarters == 2);
  CHECK(std::abs(*v.sagittal_mm - 4.0) < 1e-9);
}

TEST_CASE("the patient's own unit is used where its landmarks exist") {
  MeasureInput in = worked_molar(Vec3(0, -1, 0));
  in.settings.unit_mm = 16;
  CHECK(read(in, "molar_right").quarters == 1);
  in.points["46.contact_mesial"] = Vec3(-22, -9, -3);  // 4 mm along the side from the groove
  CHECK(read(in, "molar_right").quarters == 4);
}

TEST_CASE("canine against the embrasure, by hand, with the mean width of canine and premolar as unit") {
  MeasureInput in;
  in.frame = OcclusalFrame{};
  in.points["36.contact_distal"] = Vec3(26, 0, 0);
  in.points["34.contact_mesial"] = Vec3(20, -24, 0);
  in.points["33.contact_distal"] = Vec3(20, -25, 2);
  in.points["23.cusp_tip"] = Vec3(22, -28, -3);
  const Vec3 along = Vec3(-6, -24, 0).normalized();
  const double by_hand = (Vec3(22, -28, 0) - Vec3(20, -24.5, 0)).dot(along);
  CHECK(read(in, "canine_left").value == doctest::Approx(by_hand));
  CHECK(read(in, "canine_left").quarters == quarter_units(by_hand, 7));
  in.points["33.contact_mesial"] = Vec3(17, -29, 2);  // 5 mm wide
  in.points["34.contact_distal"] = Vec3(20, -15, 0);  // 9 mm wide: mean 7
  in.settings.unit_mm = 1;
  CHECK(read(in, "canine_left").quarters == quarter_units(by_hand, 7));
}

TEST_CASE("without the first premolar the side runs to the second") {
  MeasureInput in = worked_molar(Vec3(0, -1, 0));
  in.points["45.contact_mesial"] = in.points["44.contact_mesial"];
  in.points.erase("44.contact_mesial");
  CHECK(std::abs(read(in, "molar_right").value - 4.0) < 1e-9);
  in.points.erase("45.contact_mesial");
  CHECK(find_measure("molar_right")->missing(in) == std::vector<std::string>{"44.contact_mesial"});
  in.points.erase("46.buccal_groove");
  CHECK(find_measure("molar_right")->missing(in) == std::vector<std::string>{"46.buccal_groove", "44.contact_mesial"});
}

// Standard normal table: 95 % within 1.96, 97.5 % below 1.96, 84.13 % below 1.
TEST_CASE("probability of a class") {
  CHECK(class_probability(0, 0, 8, 1 / 1.959964) == doctest::Approx(0.95).epsilon(1e-6));
  CHECK(class_probability(1, 1, 8, 0.3) == doctest::Approx(0.5));
  CHECK(class_probability(2, 2, 8, 1) == doctest::Approx(0.841345).epsilon(1e-5));
  CHECK(class_probability(-2, -2, 8, 1) == doctest::Approx(0.841345).epsilon(1e-5));
  CHECK(class_probability(0, 0.5, 8, 0) == 1);
}
