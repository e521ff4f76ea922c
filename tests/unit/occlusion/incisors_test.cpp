#include <doctest/doctest.h>

#include "occlusion/model_bite.h"

using namespace intercusp;

namespace {

// Worked example OJ1 (computed): occlusal plane tilted 8 degrees, front down.
const Vec3 kTiltedForward(0, -std::cos(radians(8)), -std::sin(radians(8)));
const Vec3 kTiltedUp(0, -std::sin(radians(8)), std::cos(radians(8)));
const Vec3 kLowerEdge(0.5, -75, -62);
const Vec3 kUpperEdge = kLowerEdge + 3.0 * kTiltedForward - 2.5 * kTiltedUp + Vec3(0.8, 0, 0);

MeasureInput worked_example(const Vec3& forward, const Vec3& up) {
  MeasureInput in;
  for (const char* feature : {"incisal_edge_labial", "incisal_edge_mid", "contact_mesial"}) {
    for (const char* tooth : {"11.", "21."}) in.points[std::string(tooth) + feature] = kUpperEdge;
    for (const char* tooth : {"41.", "31."}) in.points[std::string(tooth) + feature] = kLowerEdge;
  }
  in.frame = OcclusalFrame{kUpperEdge, up.cross(forward), forward, up};
  return in;
}

// A lower labial wall, 20 mm wide and high, leaning back by `lean` mm a mm of height, its front at y = `front` at z =
// 0.
Mesh labial_wall(double front, double lean) {
  Mesh m;
  for (const double z : {-10.0, 10.0}) {
    for (const double x : {-10.0, 10.0}) {
      m.positions.push_back(Vec3(x, front + lean * z, z).cast<float>());
    }
  }
  m.triangles = {{0, 1, 2}, {1, 3, 2}};
  return m;
}

MeasureInput flat_pair(double overjet, double overbite) {
  MeasureInput in;
  in.frame = OcclusalFrame{};
  for (const char* feature : {"incisal_edge_labial", "incisal_edge_mid"}) {
    in.points[std::string("11.") + feature] = Vec3(-4, -40 - overjet, -overbite);
    in.points[std::string("41.") + feature] = Vec3(-3, -40, 0);
  }
  return in;
}

}  // namespace

// Computed, worked examples OJ1 and OJ2: the same points in the tilted and in an untilted frame.
TEST_CASE("overjet, overbite and midline in a plane tilted 8 degrees") {
  CHECK((kUpperEdge - Vec3(1.3, -77.622871, -64.893190)).norm() < 1e-5);
  const MeasureInput tilted = worked_example(kTiltedForward, kTiltedUp);
  CHECK(std::abs(read(tilted, "overjet").value - 3.000) < 1e-4);
  CHECK(std::abs(read(tilted, "overbite").value - 2.500) < 1e-4);
  CHECK(std::abs(read(tilted, "midline_upper_lower").value - 0.800) < 1e-4);
  const MeasureInput level = worked_example(Vec3(0, -1, 0), Vec3(0, 0, 1));
  CHECK(std::abs(read(level, "overjet").value - 2.623) < 1e-3);
  CHECK(std::abs(read(level, "overbite").value - 2.893) < 1e-3);
}

// Computed, worked example OB%: 2.5 mm over a lower crown of 9.0 mm.
TEST_CASE("overbite as a share of the lower crown") {
  MeasureInput in = flat_pair(2, 2.5);
  in.points["41.gingival_mid"] = Vec3(-3, -38, -9.0);
  CHECK(std::abs(read(in, "overbite_percent").value - 27.78) < 0.01);
  in.points["41.gingival_mid"] = Vec3(-3, -38, 1.0);  // above the edge: a misplaced landmark gives no number
  CHECK(find_measure("overbite_percent")->missing(in) == std::vector<std::string>{"41.gingival_mid"});
}

TEST_CASE("the pair of larger overjet is the headline, and overbite is read on it") {
  MeasureInput in = flat_pair(2, 3);
  for (const char* feature : {"incisal_edge_labial", "incisal_edge_mid"}) {
    in.points[std::string("21.") + feature] = Vec3(4, -40 + 2.5, 1);
    in.points[std::string("31.") + feature] = Vec3(3, -40, 0);
  }
  const MeasureValue overjet = read(in, "overjet"), overbite = read(in, "overbite");
  CHECK(overjet.value == doctest::Approx(-2.5));  // reverse, but of larger magnitude
  CHECK(overbite.value == doctest::Approx(-1));
  REQUIRE(overjet.pairs.size() == 2);
  CHECK(overjet.pairs[0].between == "11/41");
  CHECK(overjet.pairs[0].value == doctest::Approx(2));
  CHECK(overbite.pairs[0].value == doctest::Approx(3));
  in.points["21.incisal_edge_labial"].y() = in.points["21.incisal_edge_mid"].y() = -42;  // equal: the first pair
  CHECK(read(in, "overbite").value == doctest::Approx(3));
}

TEST_CASE("one pair that is not placed leaves the other") {
  MeasureInput in = flat_pair(2, 3);
  CHECK(read(in, "overjet").value == doctest::Approx(2));
  CHECK(read(in, "overjet").pairs.size() == 1);
  in.points.erase("41.incisal_edge_labial");
  CHECK(find_measure("overjet")->missing(in) == std::vector<std::string>{"41.incisal_edge_labial"});
  CHECK(read(in, "overbite").value == doctest::Approx(3));  // still readable from the edges
  in.frame.reset();
  const std::vector<std::string> needs = find_measure("overjet")->missing(in);
  CHECK(std::find(needs.begin(), needs.end(), "16.mesiobuccal_cusp") != needs.end());
}

// By hand: a wall that leans back 0.2 mm a mm of height, in front by 0.2 x 2.5 = 0.5 mm at 2.5 mm below its edge.
TEST_CASE("the probe reads the labial surface at the level of the upper edge") {
  MeasureInput in = flat_pair(3, 2.5);
  in.lower.surface = Surface::make(labial_wall(-40, 0.2));
  MeasureValue v = read(in, "overjet");
  REQUIRE(v.from_mesh.has_value());
  CHECK(*v.from_mesh == doctest::Approx(3 - 0.5).epsilon(1e-5));
  // The same bite somewhere else, and the surface kept in its own scan space.
  const Pose pose = Eigen::Translation3d(5, 6, 7) * Eigen::AngleAxisd(0.8, Vec3(1, 1, -2).normalized());
  MeasureInput there = in;
  there.points = moved(in.points, pose);
  there.frame = OcclusalFrame{Vec3::Zero(), pose.linear().col(0), -pose.linear().col(1), pose.linear().col(2)};
  there.lower.patient_from_surface = pose;
  CHECK(*read(there, "overjet").from_mesh == doctest::Approx(2.5).epsilon(1e-5));
}

TEST_CASE("the probe gives no reading where it would touch something else") {
  MeasureInput open = flat_pair(3, -1);  // the upper edge stands above the lower
  open.lower.surface = Surface::make(labial_wall(-40, 0.2));
  CHECK_FALSE(read(open, "overjet").from_mesh.has_value());
  MeasureInput hole = flat_pair(3, 2.5);
  hole.lower.surface = Surface::make(labial_wall(-20, 0.2));  // the next surface lies 20 mm behind
  CHECK_FALSE(read(hole, "overjet").from_mesh.has_value());
  MeasureInput gum = flat_pair(3, 2.5);
  gum.lower.surface = Surface::make(labial_wall(-40, 0.2));
  gum.points["41.gingival_mid"] = Vec3(-3, -39, -2);  // the edge reaches below the gingival margin
  CHECK_FALSE(read(gum, "overjet").from_mesh.has_value());
}
