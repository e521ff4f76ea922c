#include <doctest/doctest.h>

#include <algorithm>

#include <nlohmann/json.hpp>

#include "anatomy/sample_jaws.h"
#include "casebook/achieved_report.h"
#include "casebook/recipe_link.h"

using namespace intercusp;

namespace {

JawRecipe class_three(std::uint32_t triangles) {
  JawRecipe recipe;
  for (const JawRecipe& r : sample_recipes())
    if (r.name == "class3") recipe = r;
  recipe.triangles = triangles;
  return recipe;
}

/// A retruded upper jaw taken 5 mm forward and 1 mm up.
Case upper_jaw_forward() {
  Case c = case_from_jaws(make_sample(class_three(20000)).value(), "class3");
  Plan plan;
  plan.name = "A";
  PlanEntry entry;
  entry.segment = "upper";
  entry.movement.forward_mm = 5;
  entry.movement.up_mm = 1;
  plan.entries.push_back(entry);
  c.plans.push_back(plan);
  return c;
}

/// The same patient scanned afterwards: other triangles, another pose of the scanner, six landmarks a jaw, the upper
/// jaw where the plan has it but for `off`.
Case scanned_afterwards(const Case& planned, const Movement& off) {
  const Pose scanner = Pose(Eigen::Translation3d(31, -12, 7)) * Pose(rotation_of(14, -9, 23));
  const Plan* plan = planned.find_plan("A");
  const auto poses = segment_poses(planned, plan, Moment::planned);
  const auto pivot = pivot_point(planned, "upper", "", poses.value());
  const Pose upper = pose_of(off, pivot.value()) * poses.value().at("upper");
  const auto fresh = make_sample(class_three(26000)).value();
  const Case again = case_from_jaws(fresh, "class3");
  Case c;
  for (const Body& body : again.bodies) {
    const Pose jaw = body.name == "upper_arch" ? upper : Pose::Identity();
    const Pose at = scanner * jaw * planned.patient_from_scans;
    c.bodies.push_back(make_body(body.name, Surface::make(transformed(body.surface->mesh(), at))));
  }
  for (const int tooth : {11, 16, 26, 13, 31, 36, 46, 43}) {
    const bool molar = tooth % 10 == 6, canine = tooth % 10 == 3;
    const std::string name = std::to_string(tooth) + (molar    ? ".mesiobuccal_cusp"
                                                      : canine ? ".cusp_tip"
                                                               : ".incisal_edge_mid");
    REQUIRE(planned.landmarks.count(name));
    const Pose jaw = tooth < 30 ? upper : Pose::Identity();
    // A hand's error, which the surfaces have to mend.
    c.landmarks[name] = {
        scanner * jaw * planned.patient_from_scans * planned.landmarks.at(name).at + Vec3(0.4, -0.3, 0.2), true};
  }
  return c;
}

}  // namespace

TEST_CASE("what was achieved is told apart from the plan by what it is off by, from other scans in another pose") {
  const Case planned = upper_jaw_forward();
  const Plan& plan = planned.plans.front();
  const auto poses = segment_poses(planned, &plan, Moment::planned);
  Movement off;
  off.forward_mm = -0.8;
  off.left_mm = 0.5;
  off.yaw_deg = 1.2;
  const auto found = find_achieved(planned, poses.value(), scanned_afterwards(planned, off));
  REQUIRE(found.ok());
  CHECK(found.value().laid_on == "upper_arch");
  CHECK(found.value().residual_mm < 0.1);
  REQUIRE(found.value().segments.size() == 1);
  const AchievedSegment& lower = found.value().segments.front();
  CHECK(lower.segment == "lower");
  // Without a skull the upper teeth are what the cases are laid on: the lower jaw then stands off the other way.
  const auto pivot = pivot_point(planned, "upper", "", poses.value());
  const auto lower_pivot = pivot_point(planned, "lower", "", poses.value());
  const Movement expected = movement_of(pose_of(off, pivot.value()).inverse(), lower_pivot.value());
  CHECK(lower.difference.forward_mm == doctest::Approx(expected.forward_mm).epsilon(0.03));
  CHECK(lower.difference.left_mm == doctest::Approx(expected.left_mm).epsilon(0.05));
  CHECK(lower.difference.yaw_deg == doctest::Approx(-1.2).epsilon(0.03));
  CHECK(std::abs(lower.difference.up_mm) < 0.03);
  CHECK(std::abs(lower.difference.pitch_deg) < 0.06);
  const auto report = achieved_report(planned, plan, poses.value(), found.value(), "afterwards");
  double overjet = 0;
  for (const auto& row : report["measures"])
    if (row["id"] == "overjet") overjet = row["difference"];
  CHECK(overjet == doctest::Approx(-0.8).epsilon(0.15));
}

TEST_CASE("a surface that is another patient's is not laid on, and is said to be") {
  const Case planned = upper_jaw_forward();
  const auto poses = segment_poses(planned, planned.find_plan("A"), Moment::planned);
  Case other = scanned_afterwards(planned, {});
  // A dentition a tenth larger about its middle tooth.
  Body& lower =
      *std::find_if(other.bodies.begin(), other.bodies.end(), [](const Body& b) { return b.name == "lower_arch"; });
  Mesh larger = lower.surface->mesh();
  const Vec3f middle = other.landmarks.at("31.incisal_edge_mid").at.cast<float>();
  for (Vec3f& at : larger.positions) at = middle + 1.1f * (at - middle);
  lower = make_body("lower_arch", Surface::make(std::move(larger)));
  const auto found = find_achieved(planned, poses.value(), other);
  REQUIRE(found.ok());
  CHECK(found.value().segments.empty());
  REQUIRE(found.value().not_compared.size() == 1);
  CHECK(found.value().not_compared.front().find("lower_arch") != std::string::npos);
  other.bodies.clear();
  CHECK_FALSE(find_achieved(planned, poses.value(), other).ok());
}
