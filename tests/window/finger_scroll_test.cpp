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

}  // namespace intercusp::window
