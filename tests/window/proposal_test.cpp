// One click a tooth, through the commands that the panels and the page use.
#include <doctest/doctest.h>

#include <algorithm>
#include <string>

#include "anatomy/sample_jaws.h"
#include "stage.h"

namespace intercusp::window {

namespace {

int placed_of(Stage& stage, const std::string& prefix) {
  int count = 0;
  const nlohmann::json state = stage.state();
  for (const auto& name : state["case"]["landmarks"]) count += name.get<std::string>().rfind(prefix, 0) == 0;
  return count;
}

}  // namespace

TEST_CASE("proposals: one click places a tooth's landmarks as one step; what a person confirmed stays") {
  Stage stage({1366, 768});
  stage.act("open_sample", {{"name", "class1"}, {"triangles", 20000}});
  stage.frames(4);
  auto recipe = find_sample("class1");
  REQUIRE(recipe.ok());
  recipe.value().triangles = 20000;
  const auto jaws = make_sample(recipe.value());
  REQUIRE(jaws.ok());
  for (const auto& [name, landmark] : jaws.value().landmarks)
    if (name.rfind("15.", 0) == 0) stage.act("remove_landmark", {{"name", name}});
  REQUIRE(placed_of(stage, "15.") == 0);
  const Vec3 at = jaws.value().landmarks.at("15.buccal_cusp").at;
  const nlohmann::json click{{"body", "upper_arch"}, {"at", {at.x(), at.y(), at.z()}}};
  const auto proposed = stage.act("propose_tooth", click);
  CHECK(proposed["tooth"] == 15);
  CHECK(proposed["sure"] == true);
  CHECK(proposed["landmarks"].size() == 5);
  CHECK(proposed["landmarks"]["15.buccal_cusp"]["confidence"].get<double>() > 0.8);
  CHECK(proposed["kept"].empty());
  CHECK(placed_of(stage, "15.") == 5);
  stage.act("undo");
  CHECK(placed_of(stage, "15.") == 0);
  stage.act("redo");
  CHECK(placed_of(stage, "15.") == 5);
  CHECK(stage.act("confirm_tooth", {{"tooth", 15}})["confirmed"] == 5);
  CHECK(stage.act("confirm_tooth", {{"tooth", 15}})["confirmed"] == 0);
  CHECK(stage.act("propose_tooth", click)["kept"].size() == 5);
}

TEST_CASE(
    "proposals: another number never takes the place of confirmed points, and undoing a confirmation brings doubt "
    "back") {
  Stage stage({1366, 768});
  stage.act("open_sample", {{"name", "class1"}, {"triangles", 20000}});
  stage.frames(4);
  const auto moved = [&](int from, int to) { return stage.app().act("renumber_tooth", {{"tooth", from}, {"to", to}}); };
  CHECK_FALSE(moved(15, 14).ok());  // the sample's points count as confirmed
  for (const char* feature : {"buccal_cusp", "palatal_cusp", "central_groove", "contact_mesial", "contact_distal"})
    stage.act("remove_landmark", {{"name", std::string("14.") + feature}});
  REQUIRE(moved(15, 14).ok());
  const auto doubtful = [&] { return stage.state()["case"]["doubtful"].size(); };
  const auto all = doubtful();
  CHECK(all >= 5);
  stage.act("confirm_tooth", {{"tooth", 14}});
  CHECK(doubtful() == 0);
  stage.act("undo");
  CHECK(doubtful() == all);
}

}  // namespace intercusp::window
