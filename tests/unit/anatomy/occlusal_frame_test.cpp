#include "anatomy/occlusal_frame.h"

#include <doctest/doctest.h>

#include <algorithm>

using namespace intercusp;

namespace {

// Invented upper arch; the three plane points are those of worked frame check F1: MI (0,-40,0), cusps (+-25,-5,0).
PointMap upper_arch() {
  return {{"11.incisal_edge_mid", {-4, -40, 0}},  {"21.incisal_edge_mid", {4, -40, 0}},
          {"16.mesiobuccal_cusp", {-25, -5, 0}},  {"26.mesiobuccal_cusp", {25, -5, 0}},
          {"17.mesiobuccal_cusp", {-28, 5, 1.5}}, {"27.mesiobuccal_cusp", {28, 5, 1.5}},
          {"15.buccal_cusp", {-23, -12, -0.5}},   {"25.buccal_cusp", {23, -12, -0.5}},
          {"13.cusp_tip", {-17, -30, -0.4}},      {"23.cusp_tip", {17, -30, -0.4}}};
}

PointMap moved(const PointMap& points, const Pose& pose) {
  PointMap out;
  for (const auto& [name, at] : points) out[name] = pose * at;
  return out;
}

Pose some_pose() {
  return Eigen::Translation3d(12, -7, 33) * Eigen::AngleAxisd(1.9, Vec3(0.3, -0.8, 0.5).normalized());
}

}  // namespace

// Computed, worked frame check F1: the normal of MI(0,-40,0), U6L(25,-5,0), U6R(-25,-5,0) is (0,0,1) in LPS.
TEST_CASE("the occlusal plane through incisors and first molars faces up") {
  const Result<OcclusalFrame> frame = maxillary_occlusal_frame(upper_arch());
  REQUIRE(frame.ok());
  CHECK((frame.value().up - Vec3(0, 0, 1)).norm() < 1e-12);
  CHECK((frame.value().forward - Vec3(0, -1, 0)).norm() < 1e-12);
  CHECK((frame.value().left - Vec3(1, 0, 0)).norm() < 1e-12);
  CHECK((frame.value().origin - Vec3(0, -40, 0)).norm() < 1e-12);
}

TEST_CASE("the frame is right-handed as left, back, up and follows a rigid motion") {
  const Pose pose = some_pose();
  const OcclusalFrame f = maxillary_occlusal_frame(moved(upper_arch(), pose)).value();
  CHECK((f.left.cross(-f.forward) - f.up).norm() < 1e-12);
  CHECK((f.up - pose.linear() * Vec3::UnitZ()).norm() < 1e-12);
  CHECK((f.forward + pose.linear() * Vec3::UnitY()).norm() < 1e-12);
  const Pose back = patient_from_occlusal(f);
  CHECK((back * f.origin).norm() < 1e-12);
  CHECK(((back * pose).linear() - Mat3::Identity()).norm() < 1e-12);
}

TEST_CASE("the raphe gives the forward direction where both its landmarks exist") {
  PointMap points = upper_arch();
  points["raphe_anterior"] = Vec3(0.5, -30, 6);
  CHECK((maxillary_occlusal_frame(points).value().forward - Vec3(0, -1, 0)).norm() < 1e-12);
  points["raphe_posterior"] = Vec3(-1.5, -10, 12);
  const Vec3 along = Vec3(2, -20, 0).normalized();  // its height does not enter: projected on the plane
  CHECK((maxillary_occlusal_frame(points).value().forward - along).norm() < 1e-12);
}

TEST_CASE("without a raphe the mean of the paired differences is left") {
  PointMap points = upper_arch();
  points["23.cusp_tip"] = Vec3(17, -24, -0.4);  // one canine 6 mm farther back turns the mean
  const Vec3 mean = Vec3(34 + 50 + 56, 6, 0);
  CHECK((maxillary_occlusal_frame(points).value().left - mean.normalized()).norm() < 1e-12);
}

TEST_CASE("a missing first molar falls back to the second molars, then to the second premolars, on both sides") {
  PointMap points = upper_arch();
  points.erase("16.mesiobuccal_cusp");
  const Vec3 with_second_molars = Vec3(28, 45, 1.5).cross(Vec3(-28, 45, 1.5)).normalized();
  CHECK((maxillary_occlusal_frame(points).value().up - with_second_molars).norm() < 1e-12);
  points.erase("27.mesiobuccal_cusp");
  const Vec3 with_premolars = Vec3(23, 28, -0.5).cross(Vec3(-23, 28, -0.5)).normalized();
  CHECK((maxillary_occlusal_frame(points).value().up - with_premolars).norm() < 1e-12);
  points.erase("15.buccal_cusp");
  const Result<OcclusalFrame> none = maxillary_occlusal_frame(points);
  REQUIRE_FALSE(none.ok());
  CHECK(none.error().what == "not measurable");
  CHECK(none.error().remedy == "place 16.mesiobuccal_cusp");
}

TEST_CASE("what is missing is the shortest way to a frame") {
  CHECK(missing_for_occlusal_frame(upper_arch()).empty());
  CHECK(missing_for_occlusal_frame({}).size() == 4);
  PointMap points = {{"11.incisal_edge_mid", Vec3(-4, -40, 0)},
                     {"15.buccal_cusp", Vec3(-23, -12, 0)},
                     {"raphe_anterior", Vec3(0, -30, 5)}};
  // 21 and 25 for the plane, raphe_posterior for the direction: three; through the first molars it would be three too,
  // and first molars come first.
  CHECK(missing_for_occlusal_frame(points) ==
        std::vector<std::string>{"21.incisal_edge_mid", "26.mesiobuccal_cusp", "16.mesiobuccal_cusp"});
  points["raphe_posterior"] = Vec3(0, -10, 9);
  CHECK(missing_for_occlusal_frame(points) == std::vector<std::string>{"21.incisal_edge_mid", "25.buccal_cusp"});
}

TEST_CASE("the landmarks named are those that the frame depends on") {
  PointMap points = upper_arch();
  const OcclusalFrame before = maxillary_occlusal_frame(points).value();
  const std::vector<std::string> names = occlusal_frame_basis(points)->names;
  for (auto& [name, at] : points) {
    const Vec3 kept = at;
    at += Vec3(0.3, 0.5, 0.7);
    const OcclusalFrame after = maxillary_occlusal_frame(points).value();
    const bool moves = (after.up - before.up).norm() + (after.left - before.left).norm() > 1e-9;
    const std::string& landmark = name;  // clang cannot capture a structured binding
    CHECK_MESSAGE(moves == (std::find(names.begin(), names.end(), landmark) != names.end()), landmark);
    at = kept;
  }
}

TEST_CASE("points on one line or a raphe placed back to front give no frame") {
  PointMap line = upper_arch();
  line["16.mesiobuccal_cusp"] = Vec3(-25, -40, 0);
  line["26.mesiobuccal_cusp"] = Vec3(25, -40, 0);
  const Result<OcclusalFrame> none = maxillary_occlusal_frame(line);
  REQUIRE_FALSE(none.ok());
  CHECK(none.error().remedy.find("one line") != std::string::npos);
  PointMap swapped = upper_arch();
  swapped["raphe_anterior"] = Vec3(0, -10, 9);
  swapped["raphe_posterior"] = Vec3(0, -30, 5);
  const Result<OcclusalFrame> against = maxillary_occlusal_frame(swapped);
  REQUIRE_FALSE(against.ok());
  CHECK(against.error().remedy.find("raphe_anterior") != std::string::npos);
}
