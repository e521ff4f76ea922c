#include "casebook/face_plan.h"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "casebook/bone_case.h"
#include "casebook/case_json.h"

using namespace intercusp;

TEST_CASE("the plan's movement of the upper teeth is what the face is told") {
  Case c = test::planned({cut_entry(test::cut_of(CutKind::lefort1)), test::moved("maxilla", {5, 3, 1, 0, 0, 2})});
  REQUIRE(set_face_number(c.face, "incisor_show_rest_mm", 6).ok());
  REQUIRE(set_face_number(c.face, "midline_upper_mm", -1).ok());
  const Case cut = test::made(c);
  const SegmentPoses poses = segment_poses(cut, &cut.plans[0], Moment::planned).value();
  const auto move = face_move(cut, poses);
  REQUIRE(move.has_value());
  CHECK((move->incisor_shift - Vec3(1, -5, 3)).norm() < 1e-9);  // it turns about the incisors
  const auto report = face_report(cut, poses);
  CHECK(std::abs(report["face"][0]["planned"][0].get<double>() - 3.6) < 1e-9);
  CHECK(std::abs(report["face"][3]["planned"][0].get<double>()) < 1e-9);
  // Yaw turns the head's sides about the upright: no cant.
  CHECK(report["face"][4]["recorded"].is_null());
}

TEST_CASE("a face is kept in the file of the case, and what is wrong there is named") {
  Case c = test::sample_with_bone();
  REQUIRE(set_face_number(c.face, "cant_deg", 2.5).ok());
  REQUIRE(set_face_sex(c.face, "man").ok());
  Case again;
  REQUIRE(case_from_json(case_to_json(c), again).ok());
  CHECK(again.face == c.face);
  auto document = case_to_json(c);
  document["face"]["cant_deg"] = 200;
  const Status bad = case_from_json(document, again);
  REQUIRE_FALSE(bad.ok());
  CHECK(bad.error().where == "face.cant_deg");
  c.face = {};
  CHECK_FALSE(case_to_json(c).contains("face"));
}
