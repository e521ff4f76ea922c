// Two plans of one case beside each other: rigid motion tells what must differ, and by how much.
#include <doctest/doctest.h>

#include <cmath>

#include <nlohmann/json.hpp>

#include "anatomy/sample_jaws.h"
#include "casebook/plans_beside.h"
#include "casebook/recipe_link.h"
#include "casebook/reports.h"

using namespace intercusp;

namespace {

Plan upper_forward(const std::string& name, double forward_mm, double yaw_deg = 0) {
  Plan plan;
  plan.name = name;
  PlanEntry entry;
  entry.segment = "upper";
  entry.movement.forward_mm = forward_mm;
  entry.movement.yaw_deg = yaw_deg;
  plan.entries.push_back(entry);
  return plan;
}

Case with_alternatives() {
  JawRecipe recipe;
  for (const JawRecipe& r : sample_recipes())
    if (r.name == "class3") recipe = r;
  recipe.triangles = 20000;
  Case c = case_from_jaws(make_sample(recipe).value(), "class3");
  c.plans = {upper_forward("A", 5), upper_forward("B", 7), upper_forward("C", 5, 2)};
  return c;
}

nlohmann::json row_of(const nlohmann::json& rows, const char* key, const std::string& name) {
  for (const auto& row : rows)
    if (row[key] == name) return row;
  return nullptr;
}

}  // namespace

TEST_CASE("plans beside each other: two millimetres more forward are two millimetres more overjet") {
  const Case c = with_alternatives();
  const auto r = plans_beside(c, "A", "B");
  REQUIRE(r.ok());
  const auto upper = row_of(r.value()["segments"], "segment", "upper");
  CHECK(upper["difference"]["forward_mm"].get<double>() == doctest::Approx(2).epsilon(1e-9));
  CHECK(std::abs(upper["difference"]["yaw_deg"].get<double>()) < 1e-9);
  const auto overjet = row_of(r.value()["measures"], "id", "overjet");
  CHECK(overjet["difference"].get<double>() == doctest::Approx(2).epsilon(1e-6));
  const auto midline = row_of(r.value()["measures"], "id", "midline_upper_lower");
  REQUIRE(!midline.is_null());
  CHECK(std::abs(midline["difference"].get<double>()) < 1e-6);
  for (const char* which : {"first", "second"}) {
    const std::string plan = which == std::string("first") ? "A" : "B";
    const auto poses = segment_poses(c, c.find_plan(plan), Moment::planned);
    const auto pairs = contact_pairs(c, poses.value(), c.contact_settings);
    REQUIRE(pairs.value().size() == 1);
    const auto& result = pairs.value().front().result;
    const auto row = r.value()["clearance"][0];
    CHECK(row[which]["deepest_mm"].get<double>() == (result.regions.empty() ? 0.0 : result.regions.front().deepest_mm));
  }
}

TEST_CASE("plans beside each other: a turn between two plans is that turn about the first plan's pivot") {
  const Case c = with_alternatives();
  const auto r = plans_beside(c, "A", "C");
  REQUIRE(r.ok());
  const auto difference = row_of(r.value()["segments"], "segment", "upper")["difference"];
  CHECK(difference["yaw_deg"].get<double>() == doctest::Approx(2).epsilon(1e-9));
  CHECK(std::abs(difference["forward_mm"].get<double>()) < 1e-9);
  const auto back = plans_beside(c, "C", "A");
  for (const auto& row : r.value()["measures"])
    CHECK(row_of(back.value()["measures"], "id", row["id"])["difference"].get<double>() ==
          doctest::Approx(-row["difference"].get<double>()).epsilon(1e-12));
}

TEST_CASE("plans beside each other: what cannot be compared is refused") {
  const Case c = with_alternatives();
  CHECK(plans_beside(c, "A", "A").error().what == "a plan is the same as itself");
  CHECK(plans_beside(c, "A", "Z").error().what == "there is no plan Z");
  Progress progress;
  progress.cancel();
  CHECK(plans_beside(c, "A", "B", progress).error().what == "the comparison was stopped");
}
