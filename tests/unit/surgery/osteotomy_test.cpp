#include "surgery/osteotomy.h"

#include <doctest/doctest.h>

#include <cmath>

#include "surgery/cut_clearance.h"

using namespace intercusp;

namespace {

/// Invented points of an upper jaw: apices at 27 over the canines (crown 10 and root 17), lower elsewhere.
PointMap upper_points() {
  return {{"13.cusp_tip", {-17, 8, 0}},
          {"13.apex", {-16, 12, 27}},
          {"23.cusp_tip", {17, 8, 0}},
          {"23.apex", {16, 12, 27}},
          {"16.mesiobuccal_cusp", {-26, 30, 0}},
          {"16.apex", {-24, 32, 20}},
          {"15.contact_distal", {-23, 24, 2}},
          {"25.contact_distal", {23, 24, 2}},
          {"ANS", {0, 3, 29}},
          {"PNS", {0, 52, 30}},
          {"infraorbital_foramen_right", {-28, 18, 45}},
          {"Or_right", {-32, 14, 50}}};
}

std::vector<PieceCut> placed(const Osteotomy& cut, const PointMap& points) {
  const auto sawings = place_osteotomy(cut, points, nullptr);
  REQUIRE_MESSAGE(sawings.ok(), (sawings.ok() ? "" : sawings.error().sentence()));
  return sawings.value();
}

Osteotomy lefort(const std::map<std::string, double>& settings) {
  const auto cut = make_osteotomy(CutKind::lefort1, settings);
  REQUIRE(cut.ok());
  return cut.value();
}

const CutClearance& row_of(const std::vector<CutClearance>& rows, const std::string& landmark) {
  for (const CutClearance& row : rows) {
    if (row.landmark == landmark) return row;
  }
  REQUIRE_MESSAGE(false, landmark);
  return rows.front();
}

}  // namespace

// Computed: a cut 6 degrees steep through (0, 0, 32) stays 1.8368 mm from a front apex and 5.4953 mm from a rear one.
TEST_CASE("signed distances of a tilted cut plane, worked by hand") {
  const CutSurface plane = CutSurface::plane({0, 0, 32}, Vec3(0, -std::sin(radians(6)), std::cos(radians(6))));
  CHECK(std::abs(plane.value({-17, -30, 27}) + 1.8368) < 1e-4);
  CHECK(std::abs(plane.value({-17, 5, 27}) + 5.4953) < 1e-4);
}

// Bell 1975 and textbooks (from memory): at least 5 mm above the apices; the canine's is the highest.
TEST_CASE("the Le Fort I stays five millimetres above every apex unless another level is chosen") {
  Osteotomy cut = lefort({{"saw_mm", 0}});
  auto rows = cut_clearances(cut, placed(cut, upper_points()), upper_points());
  CHECK(row_of(rows, "13.apex").distance_mm == doctest::Approx(5));
  CHECK(row_of(rows, "16.apex").distance_mm == doctest::Approx(12));
  CHECK(row_of(rows, "infraorbital_foramen_right").distance_mm == doctest::Approx(13));
  CHECK(row_of(rows, "Or_right").distance_mm == doctest::Approx(18));
  CHECK(rows.front().distance_mm == doctest::Approx(5));
  cut = lefort({{"level_right_mm", 4.6}, {"level_left_mm", 4.6}, {"saw_mm", 1}});
  rows = cut_clearances(cut, placed(cut, upper_points()), upper_points());
  CHECK(row_of(rows, "23.apex").distance_mm == doctest::Approx(4.6));  // whatever the saw takes
  CHECK(row_of(rows, "23.apex").distance_mm < row_of(rows, "23.apex").limit_mm);
  CHECK(no_root_met(cut, rows).ok());
}

TEST_CASE("a level says what it is counted from, and what is not known") {
  const auto at = [](CutKind kind, const PointMap& points) {
    return read_levels(make_osteotomy(kind, {}).value(), points).front();
  };
  PointMap points = upper_points();
  CHECK(at(CutKind::lefort1, points).from == "above the highest root tip");
  CHECK(at(CutKind::lefort1, points).mm == doctest::Approx(5));
  CHECK(lacking_of(read_levels(lefort({}), points)).empty());
  for (const char* apex : {"13.apex", "23.apex", "16.apex"}) points.erase(apex);
  const CutLevel floor = at(CutKind::lefort1, points);
  CHECK(floor.from == "above the nasal floor");
  CHECK(floor.mm == doctest::Approx(3));  // Li 1996: 3 mm above the floor
  CHECK(placed(lefort({{"saw_mm", 0}}), points).front().surface.value({0, 10, 33}) == doctest::Approx(0));
  CHECK(lacking_of(read_levels(lefort({}), points)).size() == 1);
  // One side alone without tips, of sides that differ: that side is named.
  points["23.apex"] = {16, 12, 27};
  const auto sides = lacking_of(read_levels(lefort({{"level_left_mm", 6}}), points));
  REQUIRE(sides.size() == 1);
  CHECK(sides.front().find("on the right") != std::string::npos);
  const PointMap chin{{"mental_foramen_right", {-20, 20, -30}}};
  CHECK(at(CutKind::chin, chin).lacking.find("no root is measured") != std::string::npos);
  CHECK(at(CutKind::split_right, {}).lacking.find("lingula") != std::string::npos);
  CHECK(at(CutKind::split_right, {{"lingula_right", {-40, 60, 0}}}).lacking.empty());
  CHECK(read_levels(make_osteotomy(CutKind::pieces, {}).value(), points).empty());
}

TEST_CASE("level, slope and step per side lie where they were asked") {
  const Osteotomy cut = lefort({{"level_right_mm", 6}, {"step_right_mm", 3}, {"level_left_mm", 4}, {"saw_mm", 0}});
  const CutSurface surface = placed(cut, upper_points()).front().surface;
  CHECK(surface.value({-10, 10, 33}) == doctest::Approx(0));
  CHECK(surface.value({-10, 40, 36}) == doctest::Approx(0));
  CHECK(surface.value({10, 10, 31}) == doctest::Approx(0));
  CHECK(surface.value({10, 40, 31}) == doctest::Approx(0));
  CHECK(surface.value({10, 56, 10}) == doctest::Approx(2));  // behind PNS nothing goes with the jaw
  const Osteotomy steep = lefort({{"slope_right_deg", 10}, {"slope_left_deg", 10}, {"saw_mm", 0}});
  const CutSurface rising = placed(steep, upper_points()).front().surface;
  CHECK(rising.value({-16, 12, 27}) == doctest::Approx(-5));  // the level counts at right angles to the cut
  CHECK(rising.value({0, 40, 35}) < 0);
}

TEST_CASE("a cut through a root is refused by name") {
  const Osteotomy cut = lefort({{"level_right_mm", -3}, {"level_left_mm", -3}});
  const Status met = no_root_met(cut, cut_clearances(cut, placed(cut, upper_points()), upper_points()));
  REQUIRE_FALSE(met.ok());
  CHECK(met.error().what.find("meets a root: 13.apex") != std::string::npos);
}

TEST_CASE("settings: unknown ones and those out of range are named, missing landmarks too") {
  CHECK_FALSE(make_osteotomy(CutKind::chin, {{"step_mm", 1}}).ok());
  const auto high = make_osteotomy(CutKind::lefort1, {{"level_right_mm", 99}});
  REQUIRE_FALSE(high.ok());
  CHECK(high.error().what.find("level_right_mm") != std::string::npos);
  const auto nowhere = place_osteotomy(lefort({}), {}, nullptr);
  REQUIRE_FALSE(nowhere.ok());
  PointMap junction = upper_points();
  junction["PMJ_right"] = {-20, 55, 27};
  junction["PMJ_left"] = {20, 57, 27};
  CHECK(placed(lefort({}), junction).front().surface.value({0, 58, 10}) == doctest::Approx(2));
  CHECK(nowhere.error().remedy.find("PNS") != std::string::npos);
  for (const CutKind kind :
       {CutKind::lefort1, CutKind::split_right, CutKind::split_left, CutKind::chin, CutKind::pieces}) {
    CHECK(cut_kind_of(cut_kind_name(kind)) == kind);
    for (const CutSetting& setting : cut_settings(kind)) {
      CHECK_FALSE(setting.source.empty());
      CHECK(setting.usual >= setting.least);
      CHECK(setting.usual <= setting.most);
    }
  }
}
