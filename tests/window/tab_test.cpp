// The keyboard from control to control: boxes keep it, give it back, and what was typed is not lost on the way.
#include <doctest/doctest.h>

#include <algorithm>

#include "app/view/arrow_keys.h"
#include "stage.h"

namespace intercusp::window {

namespace {

void key(Stage& stage, int code, bool shift = false) {
  ImGuiIO& io = ImGui::GetIO();
  io.KeyShift = shift;
  io.KeysDown[code] = true;
  stage.frames(2);
  io.KeysDown[code] = false;
  io.KeyShift = false;
  stage.frames(2);
}

int enter() {
  return ImGui::GetIO().KeyMap[ImGuiKey_Enter];
}

std::string focus(Stage& stage) {
  return stage.state()["focus"];
}

/// Tab until that control has the focus.
void walk_to(Stage& stage, const std::string& id) {
  for (int i = 0; i < 150 && focus(stage) != id; ++i) key(stage, kTabKey);
  REQUIRE(focus(stage) == id);
}

}  // namespace

TEST_CASE("tab: a box keeps the keyboard, goes round, and gives it back to what opened it") {
  Stage stage({1366, 768});
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 3.0}});
  walk_to(stage, "history");
  key(stage, enter());
  REQUIRE(stage.state()["widgets"].contains("history_box"));
  std::vector<std::string> met;
  for (int i = 0; i < 6; ++i) {
    key(stage, kTabKey);
    met.push_back(focus(stage));
  }
  for (const char* id : {"history_box.close", "history.0", "history.1"})
    CHECK_MESSAGE(std::count(met.begin(), met.end(), id) == 2, id);  // three controls, twice round
  walk_to(stage, "history.0");
  key(stage, enter());  // back to how it was opened
  CHECK(stage.state()["entries"].empty());
  ImGui::GetIO().KeyMap[ImGuiKey_Escape] = 256;  // as the window and the page have it
  key(stage, 256);
  CHECK_FALSE(stage.state()["widgets"].contains("history_box"));
  CHECK(focus(stage) == "history");
  key(stage, kTabKey, true);
  CHECK(focus(stage) != "history");
  key(stage, kTabKey);
  CHECK(focus(stage) == "history");
}

TEST_CASE("tab: a number that is typed is taken when Tab leaves its field, and one beyond its range is not") {
  Stage stage({1366, 768});
  stage.act("stop", {{"name", "records"}});
  stage.act("face_form", {{"on", true}});
  const auto type_and_leave = [&](const std::string& id, const char* text) {
    walk_to(stage, id);
    key(stage, enter());
    for (const char* c = text; *c; ++c) ImGui::GetIO().AddInputCharacter(static_cast<unsigned>(*c));
    stage.frames(2);
    key(stage, kTabKey);
  };
  type_and_leave("face.incisor_show_rest_mm", "2.5");
  const auto recorded = [&](std::size_t row) { return stage.state()["face"][row]["recorded"]; };
  CHECK(recorded(0) == 2.5);
  type_and_leave("face.incisor_show_smile_mm", "99");
  CHECK(recorded(1).is_null());  // nor is it cut down to what is allowed
}

}  // namespace intercusp::window
