// The start page: cases of lately, what was laid aside, and what the place keeps.
#include <doctest/doctest.h>

#include "stage.h"

namespace intercusp::window {

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
  stage.act("open_sample", {{"name", "open_bite"}});  // still not saved: laid aside once more
  stage.frames(4);
  stage.act("take_up_again");
  stage.frames(4);
  REQUIRE(stage.state()["entries"].size() == 1);
  stage.act("undo");
  CHECK(stage.state()["entries"].empty());
}

TEST_CASE("cases opened lately stand on the start page with their folders, three of them, and open again") {
  Stage stage({1366, 768});
  stage.host().recent = {"/home/clinic/cases/a.glb", "/home/clinic/b.glb", "/tmp/c.glb", "/tmp/d.glb"};
  stage.act("home");
  stage.frames(4);
  CHECK(!stage.text_with("/home/clinic/cases").empty());
  CHECK(stage.shows("recent.2"));
  CHECK(!stage.shows("recent.3"));
  stage.click("recent.1");
  CHECK(stage.host().recent_asked == "/home/clinic/b.glb");
}

TEST_CASE("what is kept is said, and erased only when it is asked for twice") {
  Stage stage({1366, 768});
  stage.act("home");
  stage.frames(4);
  stage.click("start.kept");
  stage.frames(4);
  CHECK(!stage.text_with("Nothing leaves this machine").empty());
  stage.click("kept.erase");
  stage.frames(2);
  CHECK(!stage.host().forgotten);
  stage.click("kept.erase");
  CHECK(stage.host().forgotten);
}

}  // namespace intercusp::window
