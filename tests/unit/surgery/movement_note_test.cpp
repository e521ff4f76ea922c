#include "surgery/movement_note.h"

#include <doctest/doctest.h>

using namespace intercusp;

namespace {

PointMap arch_landmarks() {
  return {{"11.incisal_edge_mid", {-4, -40, 0}}, {"21.incisal_edge_mid", {4, -40, 0.2}},
          {"16.mesiobuccal_cusp", {-26, -5, 1}}, {"26.mesiobuccal_cusp", {26, -5.5, 0.8}},
          {"31.incisal_edge_mid", {3, -37, 2}},  {"41.incisal_edge_mid", {-3, -37, 2}},
          {"36.mesiobuccal_cusp", {23, -7, 1}},  {"46.mesiobuccal_cusp", {-23, -7, 1}}};
}

std::string again(const std::string& note, const PointMap& points) {
  const Result<MovementNote> read = parse_movement_note(note, points);
  REQUIRE_MESSAGE(read.ok(), note);
  const Vec3 pivot = points.at("incisors");
  const Result<Movement> m = solve_movement(points, pivot, read.value().targets, read.value().fixed);
  REQUIRE_MESSAGE(m.ok(), (m.ok() ? "" : m.error().sentence()));
  return write_movement_note(read.value().segment_word, points, pose_of(m.value(), pivot));
}

}  // namespace

TEST_CASE("a note read, solved and written again is the same sentence") {
  const PointMap points = note_points(arch_landmarks(), Jaw::upper);
  for (const char* note : {
           "Upper jaw: 5.0 mm forward, 2.0 mm up at the incisors, 3.0 mm up at the right molar, 1.0 mm up at the left "
           "molar, "
           "midline 1.5 mm to the patient's right.",
           "Upper jaw: no movement.",
           "Upper jaw: 4.0 mm up.",
           "Upper jaw: 4.0 mm up at the molars.",
           "Upper jaw: 2.0 mm down at the incisors.",
           "Upper jaw: 0.1 mm up at the left molar.",
           "Upper jaw: 3.5 mm back, 1.0 mm down, turned 2.0 degrees to the patient's left.",
           "Upper jaw: 1.0 mm up at the incisors, 6.0 mm up at the molars, turned 12.5 degrees to the patient's right.",
           "Upper jaw: 12.0 mm forward, 8.0 mm up at the incisors, 4.0 mm down at the right molar, 3.0 mm up at the "
           "left "
           "molar, midline 4.0 mm to the patient's left, turned 6.0 degrees to the patient's left.",
       }) {
    CHECK(again(note, points) == note);
  }
}

TEST_CASE("without molars a note says pitch and roll, and reads back the same") {
  PointMap landmarks = arch_landmarks();
  landmarks.erase("46.mesiobuccal_cusp");
  const PointMap points = note_points(landmarks, Jaw::lower);
  CHECK(points.size() == 1);
  const char* note =
      "Lower jaw: 3.0 mm forward, 1.0 mm up at the incisors, pitch 2.5 degrees front up, roll 1.0 degrees left side "
      "up, "
      "midline 0.5 mm to the patient's left, turned 1.0 degrees to the patient's right.";
  CHECK(again(note, points) == note);
  const Result<MovementNote> molars = parse_movement_note("2.0 mm up at the right molar", points);
  REQUIRE_FALSE(molars.ok());
  CHECK(molars.error().what.find("molars") != std::string::npos);
}

TEST_CASE("a movement written and read again is the same to a twentieth of a millimetre") {
  const PointMap points = note_points(arch_landmarks(), Jaw::upper);
  const Vec3 pivot = points.at("incisors");
  const Movement m = {4.3, 1.7, -0.9, -3.1, 2.2, 1.4};
  const Pose pose = pose_of(m, pivot);
  const MovementNote read = parse_movement_note(write_movement_note("Upper jaw", points, pose), points).value();
  const Pose back = pose_of(solve_movement(points, pivot, read.targets, read.fixed).value(), pivot);
  for (const auto& point : points)
    CHECK_MESSAGE((pose * point.second - back * point.second).norm() < 0.12, point.first);
}

TEST_CASE("near variants are understood") {
  const PointMap points = note_points(arch_landmarks(), Jaw::upper);
  CHECK(again("Upper jaw: 5 mm Forward and 2,5 mm up", points) == "Upper jaw: 5.0 mm forward, 2.5 mm up.");
  CHECK(again("Maxilla: turned 2\xC2\xB0 to the patient\xE2\x80\x99s left", points) ==
        "Maxilla: turned 2.0 degrees to the patient's left.");
  // Pitch said instead of the molars' heights: the incisors stay, 35 mm behind them 35 sin 3 degrees = 1.83 mm go down.
  CHECK(again("Upper jaw: pitch 3 deg front up", points).find("1.8 mm down at the molars") != std::string::npos);
}

TEST_CASE("what is not understood, said twice or signed is refused with the phrase") {
  const PointMap points = note_points(arch_landmarks(), Jaw::upper);
  for (const char* wrong :
       {"5.0 mm sideways", "-2 mm up", "five mm forward", "5.0.1 mm forward", "5 mm", "1e9 mm up"}) {
    const Result<MovementNote> read = parse_movement_note(std::string("Upper jaw: 1.0 mm forward, ") + wrong, points);
    REQUIRE_FALSE_MESSAGE(read.ok(), wrong);
    CHECK(read.error().where == std::string("\"") + wrong + "\"");
  }
  CHECK(parse_movement_note("500 mm forward", points).error().what.find("more than") != std::string::npos);
  CHECK(parse_movement_note("1 mm forward, 2 mm back", points).error().what.find("twice") != std::string::npos);
  CHECK(parse_movement_note("1 mm up, 2 mm up at the incisors", points).error().what.find("two heights") !=
        std::string::npos);
  CHECK_FALSE(parse_movement_note("1 mm up", {}).ok());
  CHECK(write_movement_note("Upper jaw", {}, Pose::Identity()).empty());
}

TEST_CASE("points of a note: first molars, else second molars on both sides") {
  PointMap landmarks = arch_landmarks();
  CHECK(note_points(landmarks, Jaw::upper).at("incisors").isApprox(Vec3(0, -40, 0.1)));
  CHECK(note_points(landmarks, Jaw::lower).at("molar_left").isApprox(Vec3(23, -7, 1)));
  landmarks.erase("26.mesiobuccal_cusp");
  landmarks["17.mesiobuccal_cusp"] = Vec3(-28, 5, 1);
  landmarks["27.mesiobuccal_cusp"] = Vec3(28, 5, 1);
  CHECK(note_points(landmarks, Jaw::upper).at("molar_right").isApprox(Vec3(-28, 5, 1)));
}

TEST_CASE("one movement in short words, never a bare sign") {
  CHECK(movement_words({3, 1.5, 0, 2, 0, 0}) == "3.0 mm forward, 1.5 mm up, pitch 2.0 degrees front up");
  CHECK(movement_words({-3, -1.5, -2, -1, -4, -0.5}) ==
        "3.0 mm back, 1.5 mm down, 2.0 mm to the patient's right, pitch 1.0 degrees front down, roll 4.0 degrees left "
        "side "
        "up, yaw 0.5 degrees front to the patient's right");
  CHECK(movement_words({0, 0.04, 0, -0.03, 0, 0}) == "no movement");
}
