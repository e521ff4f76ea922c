#include "casebook/replaced_crowns.h"

#include <doctest/doctest.h>

#include <algorithm>

#include "casebook/bone_in_way.h"
#include "casebook/recipe_link.h"
#include "casebook/reports.h"

using namespace intercusp;

namespace {

/// Jaws whose bones show the crowns, as a CT does.
const Case& with_crowns() {
  static const Case made = [] {
    auto recipe = recipe_for("class3_prepared", std::nullopt);
    REQUIRE(recipe.ok());
    recipe.value().triangles = 40000;
    recipe.value().with_bone = recipe.value().crowns_on_bone = true;
    auto jaws = make_sample(recipe.value());
    REQUIRE(jaws.ok());
    return case_from_jaws(std::move(jaws).value(), "class3_prepared");
  }();
  return made;
}

const ContactPair* pair_of(const std::vector<ContactPair>& pairs, const std::string& first, const std::string& second) {
  const auto found = std::find_if(pairs.begin(), pairs.end(), [&](const ContactPair& p) {
    return (p.first == first && p.second == second) || (p.first == second && p.second == first);
  });
  return found == pairs.end() ? nullptr : &*found;
}

/// The upper teeth and their bone a millimetre too low.
std::vector<ContactPair> too_low(const Case& c) {
  SegmentPoses poses;
  poses["lower"] = Pose(Eigen::Translation3d(0, 0, 1));
  auto pairs = contact_pairs(c, poses, c.contact_settings);
  REQUIRE(pairs.ok());
  return pairs.value();
}

}  // namespace

TEST_CASE("a scan stands for the crowns of its bone: teeth are not compared with them") {
  const Case& c = with_crowns();
  const Body &arch = *c.find_body("upper_arch"), &bone = *c.find_body("lower_bone");
  // As the surfaces are, the scan meets the other jaw's crowns twice: those scanned and those of the bone.
  const Pose raised = Pose(Eigen::Translation3d(0, 0, 1)) * c.patient_from_scans;
  const auto whole = find_contact(*arch.surface, c.patient_from_scans, *bone.surface, raised, c.contact_settings);
  REQUIRE(whole.regions.size() > 4);
  REQUIRE(whole.regions.front().deepest_mm > 0.5);
  const auto pairs = too_low(c);
  CHECK(pair_of(pairs, "upper_arch", "lower_bone")->result.regions.empty());
  CHECK(pair_of(pairs, "upper_bone", "lower_arch")->result.regions.empty());
  CHECK(pair_of(pairs, "upper_bone", "lower_bone")->result.regions.empty());
  const ContactResult& arches = pair_of(pairs, "upper_arch", "lower_arch")->result;
  CHECK(arches.regions.front().deepest_mm > 0.8);
  // What is left of the bones is farther away than the scans.
  CHECK(pair_of(pairs, "upper_bone", "lower_bone")->result.minimum_distance_mm > 0.4);
}

TEST_CASE("crowns without a scan of their own still count") {
  Case c = with_crowns();
  c.bodies.erase(std::find_if(c.bodies.begin(), c.bodies.end(), [](const Body& b) { return b.name == "lower_arch"; }));
  const auto pairs = too_low(c);
  CHECK(pair_of(pairs, "upper_arch", "lower_bone")->result.regions.front().deepest_mm > 0.5);
}

TEST_CASE("a bone that shows no crowns is compared as it is") {
  auto plain = case_from_sample("class3_prepared", std::nullopt, 20000, true);
  REQUIRE(plain.ok());
  for (const char* name : {"upper_bone", "lower_bone"}) {
    const Body& bone = *plain.value().find_body(name);
    const ScannedCrowns over = crowns_over(plain.value(), bone);
    CHECK(over.crowns.size() == 14);
    CHECK(without_scanned_crowns(bone.surface, over) == bone.surface);
  }
}

TEST_CASE("bones that meet beside their crowns are told as before") {
  // The whole lower jaw so far forward and up that its front teeth meet the bone in front of the upper ones.
  const Case& c = with_crowns();
  SegmentPoses poses;
  poses["lower"] = Pose(Eigen::Translation3d(0, -6, 14));
  const auto pairs = contact_pairs(c, poses, c.contact_settings);
  REQUIRE(pairs.ok());
  const ContactPair& bones = *pair_of(pairs.value(), "upper_bone", "lower_bone");
  REQUIRE_FALSE(bones.result.regions.empty());
  CHECK(bones.result.regions.front().deepest_mm > 3);
  CHECK_FALSE(bone_in_way(c, nullptr, poses, pairs.value()).empty());
}
