// The form of the face among the records, and what a plan makes of it beside the movement.
#include <doctest/doctest.h>

#include "stage.h"

namespace intercusp::window {

namespace {

/// What is recorded of one number; null where nothing is.
nlohmann::json recorded(const Stage& stage, const std::string& id) {
  const auto state = stage.state();
  if (!state.contains("face")) return {};
  for (const auto& row : state["face"])
    if (row["id"] == id) return row["recorded"];
  return {};
}

}  // namespace

TEST_CASE("face: numbers are dragged in the form, undone, and told beside the movement") {
  Stage stage({1366, 768});
  stage.act("open_sample", {{"name", "class3"}, {"triangles", 20000}});
  stage.act("stop", {{"name", "records"}});
  stage.frames(3);
  CHECK_FALSE(stage.shows("face.incisor_show_rest_mm"));
  stage.click("face.form");
  stage.frames(3);
  REQUIRE(stage.shows("face.incisor_show_rest_mm"));
  CHECK(recorded(stage, "incisor_show_rest_mm").is_null());
  const Rect at = stage.place_of("face.incisor_show_rest_mm");
  const float y = at.y + 0.5f * at.h;
  stage.drag(at.x + 20, y, at.x + 60, y);
  stage.frames(3);
  REQUIRE(recorded(stage, "incisor_show_rest_mm").is_number());
  CHECK(recorded(stage, "incisor_show_rest_mm").get<double>() > 0);
  stage.act("undo");
  stage.frames(2);
  CHECK(recorded(stage, "incisor_show_rest_mm").is_null());
  stage.act("face", {{"key", "incisor_show_rest_mm"}, {"value", 6}});
  stage.click("face.sex.woman");
  stage.act("set_movement", {{"segment", "upper"}, {"up", 4}});
  stage.act("stop", {{"name", "movement"}});
  stage.frames(4);
  // 6 - 4 and 0.2 to 0.4 of 4 for the lip (textbooks, from memory).
  CHECK(stage.text_with("6.0 > 2.8 to 3.6 mm") != "");
  stage.act("face", {{"clear", true}});
  stage.frames(3);
  CHECK_FALSE(stage.state().contains("face"));
}

}  // namespace intercusp::window
