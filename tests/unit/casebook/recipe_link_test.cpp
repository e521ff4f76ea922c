#include "casebook/recipe_link.h"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "base/base64.h"
#include "casebook/digest.h"

using namespace intercusp;

TEST_CASE("a case made from a sample travels inside its link, with plans, view and digest") {
  auto made = case_from_sample("class3", 3, 20000, false);
  REQUIRE(made.ok());
  Case c = std::move(made).value();
  Plan plan;
  plan.name = "A";
  plan.entries.push_back({"upper", {4.5, 0, 0.25, 1, 0, 0}, ""});
  c.plans.push_back(plan);
  const std::string link = recipe_link(c, {{"zoom", 2.5}});
  CHECK(link.size() < 2000);
  const auto opened = open_recipe_link(link);
  REQUIRE(opened.ok());
  const Case& o = opened.value().opened;
  CHECK(plan_digest(o, o.plans.at(0)) == plan_digest(c, plan));
  CHECK(o.bodies.at(0).mesh_sha256 == c.bodies.at(0).mesh_sha256);
  CHECK(nlohmann::json::parse(opened.value().view_json)["zoom"] == 2.5);
}

TEST_CASE("landmarks that were corrected by hand travel too") {
  auto made = case_from_sample("class1", 1, 20000, false);
  REQUIRE(made.ok());
  Case c = std::move(made).value();
  c.landmarks.begin()->second.at.x() += 0.5;
  c.landmarks_edited = true;
  const auto opened = open_recipe_link(recipe_link(c, {}));
  REQUIRE(opened.ok());
  CHECK(opened.value().opened.landmarks.begin()->second.at == c.landmarks.begin()->second.at);
  CHECK(opened.value().opened.landmarks_edited);
}

TEST_CASE("a case with scans of its own has no recipe link") {
  Case c;
  c.id = "scans";
  CHECK(recipe_link(c, {}).empty());
}

TEST_CASE("damaged and foreign links are refused with words") {
  const std::string good =
      R"({"v":1,"recipe":{"sample":"class3","seed":1,"triangles":20000,"bone":false,"generator":3},"plans":[],"view":{}})";
  CHECK(parse_recipe_link(base64url(good)).ok());
  const std::string cut = base64url(good).substr(0, 60);
  CHECK(parse_recipe_link(cut).error().what.find("cut short") != std::string::npos);
  for (const auto& [from, to] : {std::pair{"\"v\":1", "\"v\":2"}, std::pair{"\"generator\":3", "\"generator\":9"},
                                 std::pair{"20000", "200000000"}, std::pair{"\"seed\":1", "\"seed\":-1"},
                                 std::pair{"\"plans\":[]", "\"plans\":7"}}) {
    std::string text = good;
    text.replace(text.find(from), std::string(from).size(), to);
    CAPTURE(text);
    CHECK_FALSE(parse_recipe_link(base64url(text)).ok());
  }
  CHECK_FALSE(parse_recipe_link("not base64!").ok());
  CHECK_FALSE(parse_recipe_link(std::string(100000, 'A')).ok());
}
