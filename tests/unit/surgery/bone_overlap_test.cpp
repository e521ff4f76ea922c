#include "surgery/overlap_parts.h"

#include <doctest/doctest.h>

#include "geometry/shapes.h"
#include "surgery/removal.h"

using namespace intercusp;
using doctest::Approx;

namespace {

/// Landmarks of a plain skull, placed by hand.
PointMap plain_skull() {
  PointMap points{{"N", {0, 4, 81}}, {"ANS", {0, 0, 29}}, {"PNS", {0, 51, 25}}, {"11.incisal_edge_mid", {-4, 0, 0}}};
  for (const double side : {-1.0, 1.0}) {
    const std::string tail = side < 0 ? "_right" : "_left";
    points["Po" + tail] = {58 * side, 93, 45};
    points["NC" + tail] = {12.5 * side, 6, 30};
    points["J" + tail] = {28 * side, 28, 18};
    points["PMJ" + tail] = {20 * side, 54, 27};
    points["greater_palatine_foramen" + tail] = {16 * side, 44, 17};
    points["palatine_canal_top" + tail] = {15 * side, 49, 38};
    points["condyle_centre" + tail] = {51 * side, 80, 39};
    points["lingula" + tail] = {40 * side, 68, 9};
  }
  points["17.contact_distal"] = {-23, 42, 3};
  points["27.contact_distal"] = {23, 42, 3};
  points["47.contact_distal"] = {-25, 43, 2};
  points["37.contact_distal"] = {25, 43, 2};
  return points;
}

struct Placed {
  const char* id;
  const char* first;
  const char* second;
  Vec3 at;
};

/// Two blocks, one on the other, 2 x 2 mm on 3 x 3 mm, that overlap by `depth` around a point.
OverlapQuestion blocks_at(const Vec3& at, double depth, const std::function<BoneSite(const Vec3&)>& site) {
  const auto upper = Surface::make(shapes::box({-1.5, -1.5, 0}, {1.5, 1.5, 3}));
  const auto lower = Surface::make(shapes::box({-1, -1, -3}, {1, 1, 0}));
  Pose above = Pose::Identity(), below = Pose::Identity();
  above.translation() = at;
  below.translation() = at + Vec3(0, 0, depth);
  return {{upper, above}, {lower, below}, site, {}};
}

ContactResult contact_of(const OverlapQuestion& q) {
  return find_contact(*q.first.surface, q.first.pose, *q.second.surface, q.second.pose, {});
}

}  // namespace

TEST_CASE("bodies at each site are named, with their depth within a micrometre and their volume within 0.2 %") {
  const BoneSites sites(plain_skull());
  const Placed places[] = {{"piriform_rim", "cranium", "maxilla", {-15, 7, 31}},
                           {"septum", "maxilla", "cranium", {0.5, 25, 30}},
                           {"lateral_nasal_wall", "cranium", "maxilla", {12, 25, 30}},
                           {"turbinate", "cranium", "maxilla", {-7.5, 30, 36}},
                           {"palatine_bone", "cranium", "maxilla", {15, 47, 31}},
                           {"pterygoid", "cranium", "maxilla", {-18, 56, 25}},
                           {"buttress", "cranium", "maxilla", {35, 27, 33}},
                           {"sinus_front_wall", "cranium", "maxilla", {-27, 15, 33}},
                           {"sinus_side_wall", "cranium", "maxilla_left", {27, 39, 33}},
                           {"tuberosity", "cranium", "maxilla", {24, 46, 33}},
                           {"split_front", "ramus_left", "mandible", {33, 35, -8}},
                           {"split_inner", "mandible", "ramus_right", {-41, 62, 14}},
                           {"split", "ramus_right", "mandible", {-43, 55, -2}},
                           {"chin_cut", "chin", "mandible", {3, 2, -30}},
                           {"joint", "cranium", "ramus_left", {50, 82, 45}},
                           {"coronoid", "lower", "cranium", {45, 50, 40}},
                           {"ramus_pterygoid", "cranium", "mandible", {-20, 58, 22}},
                           {"ramus_tuberosity", "maxilla", "ramus_right", {-30, 45, 15}}};
  for (const Placed& p : places) {
    CAPTURE(p.id);
    const SiteSegment first{p.first}, second{p.second};
    const OverlapQuestion q = blocks_at(p.at, 0.3, [&](const Vec3& at) { return sites.at(first, second, at); });
    const auto parts = overlap_parts(q, contact_of(q));
    REQUIRE(parts.size() == 1);
    CHECK(parts[0].site.id == p.id);
    if (!parts[0].site.side.empty()) CHECK(parts[0].site.side == (p.at.x() < 0 ? "right" : "left"));
    CHECK(parts[0].overlap.deepest_mm == Approx(0.3).epsilon(1e-3 / 0.3));
    CHECK(std::abs(parts[0].overlap.deepest_mm - 0.3) < 1e-3);
    CHECK(std::abs(*parts[0].overlap.volume_mm3 - 1.2) < 0.002 * 1.2);
    CHECK(std::abs(parts[0].thickness_mm - 0.3) < 1e-3);
    CHECK_FALSE(parts[0].divided);
    // The order in which the two are named changes nothing.
    CHECK(sites.at(second, first, p.at).words == parts[0].site.words);
  }
}

TEST_CASE("the moved segment's own landmarks name places of the lower jaw wherever it stands") {
  const BoneSites sites(plain_skull());
  Pose away = Pose::Identity();
  away.translation() = Vec3(2, 12, -6);
  const SiteSegment ramus{"ramus_left", away}, mandible{"mandible", away};
  CHECK(sites.at(ramus, mandible, away * Vec3(33, 35, -8)).id == "split_front");
  CHECK(sites.at({"cranium"}, {"ramus_left", away}, away * Vec3(50, 82, 45)).id == "joint");
}

TEST_CASE("an overlap that reaches from the septum to the side wall is shared out between both") {
  const BoneSites sites(plain_skull());
  const auto upper = Surface::make(shapes::box({-2, 19, 29}, {14, 31, 36}));
  const auto lower = Surface::make(shapes::box({-1, 20, 20}, {13, 30, 29.5}));
  const OverlapQuestion q{{upper},
                          {lower},
                          [&](const Vec3& p) { return sites.at({"cranium"}, {"maxilla"}, p); },
                          [](const Vec3&) { return Vec3(Vec3::UnitZ()); }};
  const auto parts = overlap_parts(q, contact_of(q));
  REQUIRE(parts.size() == 2);
  double sum = 0;
  for (const OverlapPart& part : parts) {
    const bool septum = part.site.id == "septum";
    if (!septum) CHECK(part.site.id == "lateral_nasal_wall");
    sum += *part.overlap.volume_mm3;
    CHECK(part.divided);
    const double wide = septum ? 4.2 : 9.8;  // the septum's share ends 3.2 mm from the midline
    CHECK(std::abs(*part.overlap.volume_mm3 - wide * 10 * 0.5) < 0.02 * 70);
    CHECK(std::abs(part.overlap.deepest_mm - 0.5) < 1e-3);
    CHECK(std::abs(part.thickness_mm - 0.5) < 1e-3);
  }
  CHECK(sum == Approx(70).epsilon(1e-6));
}

TEST_CASE("a bone cut back with a clearance is free of the other, and loses what lay within it") {
  const auto bone = Surface::make(shapes::box({-5, -5, 0}, {5, 5, 4}));
  const auto other = Surface::make(shapes::box({-2, -2, -6}, {2, 2, 1}));
  Box zone(Vec3(-2, -2, 0), Vec3(2, 2, 1));
  for (const bool posed : {false, true}) {
    Pose pose = Pose::Identity();
    if (posed) pose = Eigen::Translation3d(30, -12, 7) * Eigen::AngleAxisd(0.3, Vec3(1, 2, 3).normalized());
    Box around;
    for (int k = 0; k < 8; ++k) around.extend(pose * zone.corner(static_cast<Box::CornerType>(k)));
    const auto removal = preview_removal({bone, pose}, {{other, pose}}, {around}, 0.5, 0.3);
    REQUIRE(removal.ok());
    CHECK(removal.value().left_deepest_mm == 0);
    CHECK(removal.value().least_gap_mm > 0.4);
    CHECK(removal.value().least_gap_mm < 0.51);
    // A block of 4 x 4 x 1 grown by 0.5, above the face that it comes through.
    const double expected = 16 * 1.5 + 16 * (0.5 + kPi / 16) + kPi / 4 + kPi / 12;
    CHECK(removal.value().removed_mm3 == Approx(expected).epsilon(0.03));
    CHECK(signed_volume(removal.value().bone) == Approx(400 - removal.value().removed_mm3).epsilon(1e-4));
    CHECK(Surface::make(removal.value().bone)->closed());
    // Fresh is what lies along the walls and the roof of the hole, half a millimetre from the other block, and no more.
    REQUIRE(removal.value().fresh.size() == removal.value().bone.positions.size());
    std::size_t fresh = 0;
    for (std::size_t v = 0; v < removal.value().fresh.size(); ++v) {
      if (removal.value().fresh[v] == 0) continue;
      ++fresh;
      const Vec3 p = removal.value().bone.positions[v].cast<double>();
      const Vec3 out = (p.cwiseAbs() - Vec3(2, 2, 1)).cwiseMax(0);
      CHECK(out.norm() < 0.51 + 0.3);
      CHECK(p.z() > 0.04);
    }
    CHECK(fresh > 200);
  }
}

TEST_CASE("a bone between two others is cut back from both, and stopping leaves nothing") {
  const auto bone = Surface::make(shapes::box({-5, -5, 0}, {5, 5, 4}));
  const auto below = Surface::make(shapes::box({-2, -2, -6}, {2, 2, 1}));
  const auto above = Surface::make(shapes::box({-2, -2, 3.5}, {2, 2, 9}));
  const std::vector<Box> zones{Box(Vec3(-2, -2, 0), Vec3(2, 2, 1)), Box(Vec3(-2, -2, 3.5), Vec3(2, 2, 4))};
  const std::vector<PosedBone> others{{below, Pose::Identity()}, {above, Pose::Identity()}};
  double last = 0;
  const auto both = preview_removal({bone, Pose::Identity()}, others, zones, 0.5, 0.3,
                                    Progress([&](double share) { last = std::max(last, share); }));
  REQUIRE(both.ok());
  CHECK(both.value().left_deepest_mm == 0);
  CHECK(both.value().least_gap_mm > 0.4);
  CHECK(last > 0);
  CHECK(last <= 1);
  Progress stopped;
  stopped.cancel();
  CHECK_FALSE(preview_removal({bone, Pose::Identity()}, others, zones, 0.5, 0.3, stopped).ok());
}
