#include "anatomy/landmarks.h"

#include <doctest/doctest.h>

#include <limits>

#include "anatomy/notation.h"

using namespace intercusp;

namespace {

std::string file_with(const std::string& body) {
  return R"({"units":"mm","landmarks":{)" + body + "}}";
}

/// The sentence of the error that reading `text` must give.
std::string refusal(const std::string& text) {
  const auto read = parse_landmarks(text);
  REQUIRE_FALSE(read.ok());
  return read.error().sentence();
}

bool says(const std::string& sentence, const std::string& word) {
  return sentence.find(word) != std::string::npos;
}

}  // namespace

TEST_CASE("numbers survive writing and reading exactly") {
  PointMap points;
  points["11.incisal_edge_mid"] = Vec3(0.1, -1.0 / 3.0, 1e-17);
  points["46.buccal_groove"] = Vec3(-24.000000000000004, 12345.678901234567, std::numeric_limits<double>::min());
  points["Co_right"] = Vec3(0, -0.0, 5);
  const auto read = parse_landmarks(write_landmarks(points));
  REQUIRE(read.ok());
  REQUIRE(read.value().size() == points.size());
  for (const auto& [name, p] : points) CHECK((read.value().at(name).at.array() == p.array()).all());
}

TEST_CASE("units are scaled to millimetres") {
  for (const auto& [unit, scale] : {std::pair{"mm", 1.0}, {"cm", 10.0}, {"m", 1000.0}, {"inch", 25.4}}) {
    const auto read =
        parse_landmarks(std::string(R"({"units":")") + unit + R"(","landmarks":{"13.cusp_tip":[1,2,-0.5]}})");
    REQUIRE(read.ok());
    CHECK((read.value().at("13.cusp_tip").at - scale * Vec3(1, 2, -0.5)).norm() < 1e-12);
  }
}

TEST_CASE("bad files are refused with the reason and the place") {
  CHECK(says(refusal(file_with(R"("16.buccal_cusp":[1,2,3])")), "16.buccal_cusp"));
  CHECK(says(refusal(file_with(R"("19.contact_mesial":[1,2,3])")), "not a known landmark"));
  CHECK(says(refusal(file_with(R"("13.cusp_tip":[1,2])")), "three numbers"));
  CHECK(says(refusal(file_with(R"("13.cusp_tip":[1,"2",3])")), "coordinate 2"));
  CHECK(says(refusal(file_with(R"("13.cusp_tip":[1,null,3])")), "coordinate 2"));
  CHECK(says(refusal(file_with(R"("13.cusp_tip":[1,NaN,3])")), "byte 45"));
  CHECK_FALSE(parse_landmarks(file_with(R"("13.cusp_tip":[1,1e999,3])")).ok());
  CHECK(says(refusal(file_with(R"("13.cusp_tip":[1,2,3],"13.cusp_tip":[1,2,4])")), "twice"));
  CHECK(says(refusal(R"({"units":"furlong","landmarks":{}})"), "furlong"));
  CHECK(says(refusal(R"({"landmarks":{}})"), "units"));
  CHECK(says(refusal(R"({"units":3,"landmarks":{}})"), "units"));
  CHECK(says(refusal(R"({"units":"mm"})"), "landmarks are missing"));
  CHECK(says(refusal(R"({"units":"mm","landmarks":[]})"), "landmarks are missing"));
  CHECK(says(refusal("[]"), "landmarks object"));
  CHECK(says(refusal(R"({"units":"mm","landm)"), "not valid JSON"));
  CHECK_FALSE(parse_landmarks("").ok());
  CHECK_FALSE(parse_landmarks(std::string(100000, '[')).ok());
}

TEST_CASE("every tooth's landmarks are known, have a hint and belong to its jaw") {
  for (int iso = 11; iso <= 48; ++iso) {
    if (!is_permanent_tooth(iso)) {
      CHECK(landmarks_of_tooth(iso).empty());
      continue;
    }
    const auto names = landmarks_of_tooth(iso);
    CHECK(names.size() >= 6);
    for (const std::string& name : names) {
      CHECK(known_landmark(name));
      CHECK(says(landmark_hint(name), tooth_name(iso)));
      CHECK((jaw_of_landmark(name) == (is_upper(iso) ? Jaw::upper : Jaw::lower)));
    }
  }
  CHECK(landmark_hint("16.mesiobuccal_cusp") ==
        "tip of the mesiobuccal (front outer) cusp of the upper right first molar");
}

TEST_CASE("points of palate and skull belong to the part they move with") {
  for (const char* name : {"raphe_anterior", "raphe_posterior", "ANS", "PNS", "A"})
    CHECK((jaw_of_landmark(name) == Jaw::upper));
  for (const char* name : {"B", "Pog", "Gn", "Me", "Go_left", "Co_right", "condyle_centre_right"})
    CHECK((jaw_of_landmark(name) == Jaw::lower));
  for (const char* name : {"N", "S", "Po_left", "Or_right"}) CHECK((jaw_of_landmark(name) == Jaw::skull));
  for (const char* name : {"Po", "N_left", "Pog_right", "16", "16.", "1.cusp_tip", "11.cusp_tip", "13.incisal_edge_mid",
                           "44.palatal_cusp", "14.lingual_cusp", "16.distal_cusp", ""})
    CHECK_FALSE(known_landmark(name));
  CHECK(known_landmark("46.distal_cusp"));
}
