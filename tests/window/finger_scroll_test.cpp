// A finger draws a panel that is longer than its place, runs it on when let go in motion, and presses nothing then.
#include <doctest/doctest.h>

#include "stage.h"

namespace intercusp::window {

namespace {

float top_of(Stage& stage, const char* id) {
  return stage.place_of(id).y;
}

/// Down at (x, y), `way` logical pixels up or down in steps, resting at the end, and up again.
void draw(Stage& stage, float x, float y, float way) {
  stage.point(x, y);
  stage.frames(1);
  stage.press(true);
  stage.frames(1);
  constexpr int kSteps = 12;
  for (int i = 1; i <= kSteps; ++i) {
    stage.point(x, y + way * static_cast<float>(i) / kSteps);
    stage.frames(1);
  }
  stage.frames(20);
  stage.press(false);
  stage.frames(4);
}

}  // namespace

TEST_CASE("a finger scrolls a panel, and what it began on is not pressed") {
  Stage stage({1180, 820, 1, false, true});
  stage.act("open_sample", {{"name", "class3"}, {"bone", true}});
  stage.act("stop", {{"name", "records"}});
  stage.frames(6);
  const Rect button = stage.place_of("samples");
  const float before = button.y;

  draw(stage, button.x + 0.5f * button.w, button.y + 0.5f * button.h, -120);
  CHECK(top_of(stage, "samples") == doctest::Approx(before - 120).epsilon(0.02));
  CHECK(!stage.shows("start"));
  draw(stage, button.x + 0.5f * button.w, button.y, 400);  // no farther than its beginning
  CHECK(top_of(stage, "samples") == doctest::Approx(before));
}

TEST_CASE("a short press of a finger on a long panel still presses") {
  Stage stage({1180, 820, 1, false, true});
  stage.act("open_sample", {{"name", "class3"}, {"bone", true}});
  stage.act("stop", {{"name", "records"}});
  stage.frames(6);
  stage.click("samples");
  stage.frames(4);
  CHECK(stage.shows("start"));
}

TEST_CASE("a case with work that was not saved is laid aside when another is opened, and comes back") {
  Stage stage({1366, 768});
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 3.0}});
  stage.frames(3);

  stage.act("open_sample", {{"name", "class2_div1"}});
  stage.frames(4);
  CHECK(stage.state()["entries"].empty());
  CHECK(!stage.text_with("was not saved and is laid aside").empty());
  stage.act("home");
  stage.frames(4);
  stage.click("start.back");
  stage.frames(4);
  CHECK(stage.state()["case"]["id"] == "class3");
  REQUIRE(stage.state()["entries"].size() == 1);
  CHECK(stage.state()["can_undo"] == true);
  stage.act("undo");
  CHECK(stage.state()["entries"].empty());
}

TEST_CASE("after a place of the clearance list the view goes back to where it was") {
  Stage stage({1366, 768});
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 5.0}, {"up", -0.7}});
  stage.act("stop", {{"name", "clearance"}});
  stage.frames(4);
  const auto before = stage.state()["views"][0]["camera"];
  stage.act("clearance", {{"index", 0}});
  stage.frames(60);
  CHECK(stage.state()["views"][0]["camera"] != before);
  stage.act("stop", {{"name", "bite"}});
  stage.frames(60);
  CHECK(stage.state()["views"][0]["camera"]["half_height_mm"].get<double>() ==
        doctest::Approx(before["half_height_mm"].get<double>()));
}

}  // namespace intercusp::window
