#include "surgery/face_record.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace intercusp;
using doctest::Approx;

namespace {

FaceRecord with(const std::map<std::string, double>& numbers) {
  FaceRecord record;
  for (const auto& [key, value] : numbers) REQUIRE(set_face_number(record, key, value).ok());
  return record;
}

/// Forward, up and to the left, mm.
FaceMove moved(double forward, double up, double left) {
  return {Vec3(left, -forward, up), std::nullopt};
}

FaceRow row(const FaceRecord& record, const FaceMove& move, const std::string& id) {
  const auto rows = face_rows(record, move);
  const auto found = std::find_if(rows.begin(), rows.end(), [&](const FaceRow& r) { return r.id == id; });
  REQUIRE(found != rows.end());
  return *found;
}

}  // namespace

// Textbooks, from memory: the upper lip shortens by 0.2 to 0.4 of an impaction. Worked by hand: 4 up, 6 shown: 2 + 0.8
// to 2 + 1.6.
TEST_CASE("an impaction hides as much of the incisors as it goes up, less what the lip shortens") {
  const FaceRecord record = with({{"incisor_show_rest_mm", 6}, {"lip_length_mm", 20}});
  const FaceRow show = row(record, moved(0, 4, 0), "incisor_show_rest_mm");
  CHECK(*show.planned_least == Approx(2.8));
  CHECK(*show.planned_most == Approx(3.6));
  CHECK(planned_words(show) == "2.8 to 3.6 mm");
  CHECK_FALSE(show.ratio.empty());
  const FaceRow lip = row(record, moved(0, 4, 0), "lip_length_mm");
  CHECK(*lip.planned_least == Approx(18.4));
  CHECK(*lip.planned_most == Approx(19.2));
  // Down: no ratio is known, and that is said.
  const FaceRow down = row(record, moved(0, -3, 0), "incisor_show_rest_mm");
  CHECK(*down.planned_least == Approx(9));
  CHECK(*down.planned_most == Approx(9));
  CHECK_FALSE(down.remark.empty());
}

// Freihofer 1976 and San Miguel Moragas 2014, from memory: 0.5 to 0.8 of an advancement; textbooks, from memory: 0.5 to
// 0.67 of a setback.
TEST_CASE("the upper lip follows the incisors forward and back by the published ratios") {
  const FaceRow forward = row({}, moved(6, 0, 0), "upper_lip_forward_mm");
  CHECK(*forward.planned_least == Approx(3));
  CHECK(*forward.planned_most == Approx(4.8));
  CHECK(planned_words(forward) == "3.0 to 4.8 mm forward");
  const FaceRow back = row({}, moved(-3, 0, 0), "upper_lip_forward_mm");
  CHECK(*back.planned_least == Approx(-2.01));
  CHECK(*back.planned_most == Approx(-1.5));
  CHECK(planned_words(back) == "1.5 to 2.0 mm back");
  const auto still = face_rows({}, moved(0, 2, 0));
  CHECK(std::none_of(still.begin(), still.end(), [](const FaceRow& r) { return r.id == "upper_lip_forward_mm"; }));
}

TEST_CASE("midline and cant are what was read plus what the plan does") {
  const FaceRecord record = with({{"midline_upper_mm", -2}, {"cant_deg", 3}});
  CHECK(*row(record, moved(0, 0, 1.5), "midline_upper_mm").planned_most == Approx(-0.5));
  CHECK(planned_words(row(record, moved(0, 0, 1.5), "midline_upper_mm")) == "0.5 mm right");
  FaceMove level = moved(0, 0, 0);
  // Molars 50 mm apart; the left one goes up by 50 tan 3 degrees.
  const double up = 50 * std::tan(radians(3));
  level.sides = FaceMove::Sides{{-25, 30, 0}, {25, 30, -up}, {-25, 30, 0}, {25, 30, 0}};
  CHECK(*row(record, level, "cant_deg").planned_most == Approx(0).epsilon(1e-9));
  CHECK_FALSE(row(record, moved(0, 0, 0), "cant_deg").remark.empty());  // no sides: not known
}

// By hand: chin up by 30 degrees, 2 mm along the patient's own forward are 2 cos 30 forward and 2 sin 30 up; with the
// left side lower by 30, 2 mm to the left are 2 cos 30 to the left and 2 sin 30 down.
TEST_CASE("what shows is read along the true vertical where the head position is recorded") {
  const FaceRecord up = with({{"head_pitch_deg", 30}, {"incisor_show_rest_mm", 5}});
  const FaceRow show = row(up, moved(2, 0, 0), "incisor_show_rest_mm");
  CHECK(*show.planned_least == Approx(5 - 1 + 0.2));
  CHECK(*show.planned_most == Approx(5 - 1 + 0.4));
  const FaceRecord tilted = with({{"head_roll_deg", 30}, {"incisor_show_rest_mm", 5}, {"midline_upper_mm", 0}});
  CHECK(*row(tilted, moved(0, 0, 2), "incisor_show_rest_mm").planned_most == Approx(6));
  CHECK(*row(tilted, moved(0, 0, 2), "midline_upper_mm").planned_most == Approx(2 * std::cos(radians(30))));
}

// Vig & Brundo 1978 (means, from memory) and da Motta et al. 2010 (looked up).
TEST_CASE("usual incisor show is that of the sex, and of the age where a series has it") {
  FaceRecord record = with({{"incisor_show_rest_mm", 3}});
  CHECK(face_rows(record, std::nullopt).front().usual.find("men 1.91") != std::string::npos);
  REQUIRE(set_face_sex(record, "woman").ok());
  const std::string adult = face_rows(record, std::nullopt).front().usual;
  CHECK(adult.find("women 3.40") != std::string::npos);
  CHECK(adult.find("4.45 at 12 to 15 years to 1.32 from 51") != std::string::npos);
  REQUIRE(set_face_number(record, "age_years", 60).ok());
  const std::string old = face_rows(record, std::nullopt).front().usual;
  CHECK(old.find("1.32 from 51") != std::string::npos);
  CHECK(old.find("4.45") == std::string::npos);
}

TEST_CASE("a face takes no number that it does not know or that no face has") {
  FaceRecord record;
  const Status unknown = set_face_number(record, "nose_mm", 3);
  REQUIRE_FALSE(unknown.ok());
  CHECK(unknown.error().remedy.find("lip_length_mm") != std::string::npos);
  CHECK_FALSE(set_face_number(record, "lip_length_mm", 90).ok());
  CHECK_FALSE(set_face_number(record, "lip_length_mm", std::nan("")).ok());
  CHECK_FALSE(set_face_sex(record, "x").ok());
  CHECK(record.empty());
}
