// Five things that someone finds without help, each in at most three steps from the first screen; docs/first-minute.md
// says how.
#include <doctest/doctest.h>

#include <regex>

#include "stage.h"

namespace intercusp::window {

TEST_CASE("finding: the overjet stands on the first screen") {
  Stage stage({1366, 768});
  CHECK(!stage.text_with("4.00 mm").empty());
  CHECK(!stage.text_with("reverse overjet").empty());
}

TEST_CASE("finding: the tooth that touches first, in one step") {
  Stage stage({1366, 768});
  stage.act("set_movement", {{"segment", "upper"}, {"up", 1.5}});
  stage.click("stop.clearance");
  const std::string nearest = stage.text_with("Nearest to touching: ");
  CHECK_MESSAGE(std::regex_search(nearest, std::regex("touching: [12][1-7] on [34][1-7], [0-9.]+ mm apart")), nearest);
  stage.act("set_movement", {{"segment", "upper"}, {"up", -0.5}});
  CHECK(!stage.text_with("Overlaps, deepest first").empty());
}

TEST_CASE("finding: three millimetres forward, by one pull of the handle") {
  Stage stage({1366, 768});
  stage.act("view", {{"name", "right"}});
  stage.frames(20);
  const auto right = stage.act("project", {{"landmark", "11.incisal_edge_mid"}});
  const auto left = stage.act("project", {{"landmark", "21.incisal_edge_mid"}});
  const float x = 0.5f * (right["x"].get<float>() + left["x"].get<float>()),
              y = 0.5f * (right["y"].get<float>() + left["y"].get<float>());
  const auto state = stage.state();
  const float px_per_mm =
      state["views"][0]["rect"][3].get<float>() / (2 * state["camera"]["half_height_mm"].get<float>());
  stage.drag(x + 50, y, x + 50 + 3 * px_per_mm, y);
  const auto entries = stage.state()["entries"];
  REQUIRE(entries.size() == 1);
  CHECK(entries[0]["forward_mm"].get<double>() == doctest::Approx(3.0));
}

TEST_CASE("finding: what is in the way, in two steps") {
  Stage stage({1366, 768});
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 5}, {"up", -1}});
  stage.frames(3);
  stage.click("stop.clearance");
  stage.click("clearance.0");
  stage.frames(20);
  CHECK(stage.state()["section"]["on"] == true);
}

TEST_CASE("finding: sharing, in two steps") {
  Stage stage({1366, 768});
  stage.click("share");
  CHECK(stage.state()["widgets"].contains("share.copy"));
  stage.click("share.copy");
  CHECK(stage.host().clipboard.find("#") != std::string::npos);
}

}  // namespace intercusp::window
