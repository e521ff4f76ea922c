// A case shared on the screen: what is done here is sent, what comes is shown, agreements hold until something changes,
// and a link for viewing changes nothing.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "formats/jpeg.h"
#include "shared_stage.h"

namespace intercusp::window {

namespace {

double forward_of(Stage& stage) {
  return stage.state()["entries"][0]["forward_mm"].get<double>();
}

std::size_t sent(Stage& stage, const char* what) {
  std::size_t n = 0;
  for (const auto& request : stage.host().asked) n += request["ask"] == what;
  return n;
}

std::string messages_of(Stage& stage) {
  return stage.state()["messages"].dump();
}

}  // namespace

TEST_CASE("review: sharing names what is shared, and what is done is sent") {
  Stage stage({1366, 768});
  stage.act("open_sample", {{"name", "class3"}, {"triangles", 40000}});
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 4.0}});
  stage.act("share_box");
  CHECK_FALSE(stage.text_with("Shared will be: the case id \"class3\"").empty());
  CHECK_FALSE(stage.text_with("the server cannot read it").empty());
  Partner partner(stage);
  partner.share();
  CHECK(sent(stage, "append") == 1);
  CHECK(stage.state()["review"]["phase"] == "open");
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 5.5}});
  stage.frames(60);
  CHECK(sent(stage, "append") == 2);
  partner.read();
  CHECK(partner.document().now().find_plan("A")->entries[0].movement.forward_mm == 5.5);
  stage.act("undo");
  stage.frames(60);
  partner.read();
  CHECK(partner.document().now().find_plan("A")->entries[0].movement.forward_mm == 4.0);
  CHECK(stage.state()["review"]["entries"] == partner.shared().entries().size());
}

TEST_CASE("review: what the other does is shown, and undo leaves it alone") {
  Stage stage({1366, 768});
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 4.0}});
  Partner partner(stage);
  partner.share();
  partner.move_upper(6);
  CHECK(forward_of(stage) == 6);
  CHECK(stage.state()["review"]["versions"].size() == 1);
  stage.act("undo");
  stage.frames(60);
  CHECK(forward_of(stage) == 6);
  stage.act("stop", {{"name", "agree"}});
  const auto first = stage.state()["review"]["versions"][0];
  CHECK(first["name"] == "M. Brandt");
  stage.act("take_version", {{"id", ""}});
  stage.frames(60);
  CHECK(forward_of(stage) == 4);
  stage.act("undo");
  CHECK(forward_of(stage) == 6);
}

TEST_CASE("review: both change the plan at once, and both plans stay") {
  Stage stage({1366, 768});
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 4.0}});
  Partner partner(stage);
  partner.share();
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 5.0}});  // sent at once; the other does not know it yet
  partner.move_upper(6);
  CHECK(forward_of(stage) == 5);
  CHECK(messages_of(stage).find("two at once") != std::string::npos);
  // Which of the two keeps the name is the same for both, and left to the order in which everybody merges.
  const std::string own = stage.state()["plan"], other = own == "A" ? "A (2)" : "A";
  stage.act("choose_plan", {{"name", other}});
  CHECK(forward_of(stage) == 6);
  stage.act("choose_plan", {{"name", own}});
  CHECK(forward_of(stage) == 5);
  stage.act("choose_plan", {{"name", "A"}});
  stage.act("stop", {{"name", "agree"}});
  CHECK_FALSE(stage.text_with("Beside it: plan A (2)").empty());
}

TEST_CASE("review: what waits to be sent meets another's change, and both plans stay") {
  Stage stage({1366, 768});
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 4.0}});
  Partner partner(stage);
  partner.share();
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 4.5}});
  partner.read();
  // Follows closely, so that it waits for the pause.
  REQUIRE(stage.app().act("set_movement", {{"segment", "upper"}, {"forward", 5.0}}).ok());
  partner.move_upper(6);
  CHECK(sent(stage, "append") == 2);
  for (int i = 0; i < 30 && stage.state()["plan"] != "A (2)"; ++i) stage.frames(1);
  CHECK(stage.state()["plan"] == "A (2)");
  CHECK(messages_of(stage).find("two at once") != std::string::npos);
  CHECK(forward_of(stage) == 5);
  stage.act("choose_plan", {{"name", "A"}});
  CHECK(forward_of(stage) == 6);
}

TEST_CASE("review: a remark carries a small picture of the view it was made in, and a click on it looks from there") {
  Stage stage({1366, 768});
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 4.0}});
  Partner partner(stage);
  partner.share();
  stage.act("back");
  stage.act("view", {{"name", "right"}});
  stage.frames(60);
  const auto at = stage.act("project", {{"landmark", "13.cusp_tip"}});
  const auto hit = stage.act("pick", {{"x", at["x"]}, {"y", at["y"].get<double>() - 8}});
  stage.act("remark", {{"body", hit["body"]}, {"point", hit["scan"]}, {"text", "Far enough back?"}});
  partner.read();
  REQUIRE(partner.shared().remarks().size() == 1);
  const Remark& remark = partner.shared().remarks()[0];
  REQUIRE(remark.picture);
  CHECK(remark.picture->size() < 30000);
  const auto picture = read_jpeg(*remark.picture);
  REQUIRE(picture.ok());
  const RgbPicture& p = picture.value();
  CHECK((p.width == 360 || p.height == 240));
  // The ring is where the point is: nearly white somewhere on it, and darker just outside of it.
  const auto view = stage.state()["views"][0]["rect"];
  const double scale = p.width / view[2].get<double>();
  const double x = (at["x"].get<double>() - view[0].get<double>()) * scale;
  const double y = (at["y"].get<double>() - 8 - view[1].get<double>()) * scale;
  const auto light = [&](double px, double py) {
    return int(p.rgb[(static_cast<std::size_t>(py) * p.width + static_cast<std::size_t>(px)) * 3 + 2]);
  };
  int brightest = 0, darkest = 255;
  for (int i = 0; i < 64; ++i) {
    const double a = i * 3.14159265358979 / 32;
    brightest = std::max(brightest, light(x + 6 * std::cos(a), y + 6 * std::sin(a)));
    darkest = std::min(darkest, light(x + 8 * std::cos(a), y + 8 * std::sin(a)));
  }
  CHECK(brightest > 225);
  CHECK(darkest < 100);
  // Shown beside the words; from elsewhere a click on it goes back.
  stage.act("stop", {{"name", "agree"}});
  stage.act("view", {{"name", "front"}});
  stage.frames(60);
  const std::string elsewhere = stage.state()["views"][0].dump();
  REQUIRE(stage.state()["widgets"].contains("remark.picture"));
  stage.click("remark.picture");
  stage.frames(60);
  CHECK(stage.state()["views"][0].dump() != elsewhere);
  const auto again = stage.act("project", {{"landmark", "13.cusp_tip"}});
  CHECK(again["x"].get<double>() == doctest::Approx(at["x"].get<double>()).epsilon(0.01));
}

TEST_CASE("review: who is here, where they point, what they drag") {
  Stage stage({1366, 768});
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 4.0}});
  Partner partner(stage);
  partner.share();
  stage.act("back");
  partner.live(nullptr, "lower_arch", Vec3(0, 0, 0));
  CHECK_FALSE(stage.text_with("Here: M. Brandt").empty());
  CHECK(stage.state()["review"]["people"][0]["pointer"]["body"] == "lower_arch");
  auto entries = nlohmann::json::parse(partner.shared().find_thing("plan", "A")->lines[0].value.dump());
  entries["plan"] = "A";
  entries["on"] = "";
  entries["entries"][0]["forward_mm"] = 8.5;
  partner.live(entries);
  CHECK(forward_of(stage) == 8.5);
  stage.frames(60);
  CHECK(sent(stage, "append") == 1);  // what somebody else drags is no change of ours
  partner.live();
  CHECK(forward_of(stage) == 4);
  stage.app().review_event({{"event", "left"}, {"session", "partner"}}, {});
  stage.frames(2);
  CHECK(stage.state()["review"]["people"].empty());
}

TEST_CASE("review: remarks, agreement, outdated, and the sheet says so") {
  Stage stage({1366, 768});
  Partner partner(stage);
  share_and_talk(stage, partner);
  auto review = stage.state()["review"];
  CHECK(review["remarks"][0]["replies"][0]["text"] == "Leave it; the premolar gives the stop.");
  REQUIRE(review["agreed"].size() == 2);
  CHECK(review["agreed"][0]["current"] == true);
  CHECK(review["agreed"][1]["current"] == true);
  CHECK_FALSE(stage.text_with("Agreed: M. Brandt, surgeon").empty());
  const auto sheet = stage.act("sheet", {{"date", "2026-02-21"}});
  CHECK(sheet["agreed"][1].get<std::string>().find("movement: agreed by M. Brandt, surgeon") == 0);
  partner.move_upper(6.5);
  review = stage.state()["review"];
  CHECK(review["agreed"][0]["current"] == false);
  CHECK(review["agreed"][0]["changes"][0].get<std::string>().find("5.0 mm forward") != std::string::npos);
  CHECK_FALSE(stage.text_with("Outdated: R. Falk, orthodontist").empty());
  CHECK(stage.act("sheet", {{"date", "2026-02-21"}})["agreed"][0].get<std::string>().find("occlusion: outdated") == 0);
  stage.act("resolve", {{"to", review["remarks"][0]["id"]}});
  CHECK(stage.state()["review"]["remarks"][0]["resolved"] == true);
}

TEST_CASE("review: a link is opened after one says who one is; for viewing it changes nothing") {
  Stage stage({1366, 768});
  (void)stage.app().open_fragment("review=1.anything");
  CHECK_FALSE(stage.text_with("Open the shared case").empty());
  Partner partner(stage);
  partner.invite(false);
  CHECK(stage.state()["case"]["id"] == "class3");
  CHECK(forward_of(stage) == 3);
  for (const char* command : {"undo", "reset", "nudge", "new_plan"})
    CHECK((stage.app().act(command, {{"quantity", "forward"}}).ok() == (std::string(command) == "undo")));
  const auto refused = stage.app().act("set_movement", {{"segment", "upper"}, {"forward", 9.0}});
  REQUIRE_FALSE(refused.ok());
  CHECK_MESSAGE(refused.error().what.find("this link is for viewing") == 0, refused.error().sentence());
  CHECK_FALSE(stage.app().act("agree", {{"part", "movement"}}).ok());
  CHECK_FALSE(stage.app().act("remark", {{"measure", "overjet"}, {"text", "x"}}).ok());
  CHECK(forward_of(stage) == 3);
  CHECK(sent(stage, "append") == 0);
  partner.move_upper(4.5);
  CHECK(forward_of(stage) == 4.5);
}

}  // namespace intercusp::window
