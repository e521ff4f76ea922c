// What a hand does on the screen: the six parts of the handle, landmarks dragged and chosen as pivot, places read on
// the contact map. Everything goes through the pointer and is checked on the case.
#include <doctest/doctest.h>

#include <cmath>
#include <cstring>

#include "app/widgets/widgets.h"
#include "stage.h"

namespace intercusp::window {

namespace {

struct Place {
  float x, y;
};

Place middle(Stage& stage, const std::string& id) {
  const auto widgets = stage.state()["widgets"];
  REQUIRE_MESSAGE(widgets.contains(id), id << " is not on screen");
  const auto r = widgets[id];
  return {r[0].get<float>() + 0.5f * r[2].get<float>(), r[1].get<float>() + 0.5f * r[3].get<float>()};
}

Place landmark(Stage& stage, const char* name) {
  const auto p = stage.act("project", {{"landmark", name}});
  return {p["x"].get<float>(), p["y"].get<float>()};
}

nlohmann::json movement(Stage& stage) {
  const auto entries = stage.state()["entries"];
  return entries.empty() ? nlohmann::json() : entries[0];
}

bool reads(const std::string& part) {
  for (const ui::TextMark& m : ui::text_log())
    if (m.words.find(part) != std::string::npos) return true;
  return false;
}

struct PartCase {
  const char* part;
  const char* view;
  float dx, dy;          // the pull, logical pixels
  const char* quantity;  // of the entry
  int sign;
  const char* words;  // what the pointer says meanwhile
};

// What points at the viewer comes nearer when its disc is pulled down. A pull to the screen's right looks at the
// patient from the right: forward is to the right there.
const PartCase kParts[] = {{"forward", "right", 60, 0, "forward_mm", 1, "mm forward"},
                           {"up", "front", 0, -50, "up_mm", 1, "mm up"},
                           {"left", "front", 40, 0, "left_mm", 1, "mm to the patient's left"},
                           {"forward", "front", 0, 60, "forward_mm", 1, "mm forward"},
                           {"forward", "upper", 0, -50, "forward_mm", 1, "mm forward"},
                           {"up", "lower", 0, 50, "up_mm", 1, "mm up"},
                           {"left", "right", 0, 50, "left_mm", -1, "mm to the patient's right"},
                           {"roll", "front", 25, 25, "roll_deg", 1, "left side down"},
                           {"pitch", "right", -12, -30, "pitch_deg", 1, "at the front"},
                           {"yaw", "lower", 30, 10, "yaw_deg", 1, "front to the patient's"}};

void pull(Stage& stage, const Place& from, float dx, float dy) {
  stage.point(from.x, from.y);
  stage.frames(1);
  stage.press(true);
  for (int i = 1; i <= 8; ++i)
    stage.point(from.x + dx * static_cast<float>(i) / 8, from.y + dy * static_cast<float>(i) / 8);
}

}  // namespace

TEST_CASE("hands: each of the six parts of the handle moves its own quantity, in steps, and says so") {
  Stage stage({1366, 768});
  for (const PartCase& c : kParts) {
    CAPTURE(c.part);
    stage.act("reset");
    stage.act("view", {{"name", c.view}});
    stage.frames(4);
    pull(stage, middle(stage, std::string("handle.") + c.part), c.dx, c.dy);
    CHECK_MESSAGE(reads(c.words), c.part << " says its clinical word");
    stage.press(false);
    stage.frames(3);
    const auto m = movement(stage);
    REQUIRE(m.is_object());
    for (const char* q : {"forward_mm", "up_mm", "left_mm", "pitch_deg", "roll_deg", "yaw_deg"}) {
      const double v = m[q].get<double>();
      if (q == std::string(c.quantity)) {
        CHECK_MESSAGE(std::abs(v) > 0.4, c.part << " gave " << v);
        CHECK(std::abs(v / 0.5 - std::round(v / 0.5)) < 1e-9);  // whole steps of 0.5
        if (!std::strstr(c.quantity, "deg")) CHECK(v * c.sign > 0);
      } else {
        CHECK_MESSAGE(v == 0, c.part << " also moved " << q);
      }
    }
  }
}

TEST_CASE("hands: the distance pulled is the distance moved, and undo takes one pull back as one step") {
  Stage stage({1366, 768});
  stage.act("view", {{"name", "right"}});
  const auto camera = stage.state()["camera"];
  const auto rect = stage.state()["views"][0]["rect"];
  const double px_per_mm = 0.5 * rect[3].get<double>() / camera["half_height_mm"].get<double>();
  pull(stage, middle(stage, "handle.forward"), static_cast<float>(3.1 * px_per_mm), 0);
  stage.press(false);
  stage.frames(3);
  CHECK(movement(stage)["forward_mm"].get<double>() == doctest::Approx(3.0));
  stage.act("undo");
  CHECK(stage.state()["entries"].empty());
  stage.act("step", {{"mm", 0.1}, {"deg", 0.1}});
  pull(stage, middle(stage, "handle.forward"), static_cast<float>(1.32 * px_per_mm), 0);
  stage.press(false);
  stage.frames(3);
  // The pointer stands on whole pixels, about a tenth of a millimetre apart here.
  const double fine = movement(stage)["forward_mm"].get<double>();
  CHECK(std::abs(fine - 1.32) < 0.15);
  CHECK(std::abs(fine / 0.1 - std::round(fine / 0.1)) < 1e-9);
}

TEST_CASE("hands: a landmark is dragged on the surface, and undone") {
  Stage stage({1366, 768});
  stage.act("stop", {{"name", "records"}});
  stage.act("view", {{"name", "lower"}});
  stage.act("snap", {{"on", false}});
  const double before = stage.app().measures()["measures"].size();
  const auto from = landmark(stage, "46.central_fossa");
  stage.drag(from.x, from.y, from.x + 14, from.y + 3);
  const auto to = landmark(stage, "46.central_fossa");
  CHECK(to.x - from.x == doctest::Approx(14).epsilon(0.15));
  CHECK(stage.app().measures()["measures"].size() == before);
  CHECK(stage.state()["history"].size() == 1);
  stage.act("undo");
  CHECK(landmark(stage, "46.central_fossa").x == doctest::Approx(from.x));
}

TEST_CASE("hands: any landmark becomes the pivot by a click, and the jaw stays where it is") {
  Stage stage({1366, 768});
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 2.0}, {"pitch", 3.0}});
  const auto pose = stage.state()["poses"]["upper"];
  stage.act("view", {{"name", "upper"}});
  stage.click("pivot.other");
  const auto dot = landmark(stage, "17.mesiobuccal_cusp");
  stage.point(dot.x, dot.y);
  stage.frames(2);
  CHECK(reads("17 mesiobuccal cusp"));
  stage.press(true);
  stage.press(false);
  stage.frames(3);
  CHECK(movement(stage)["about"].get<std::string>() == "17.mesiobuccal_cusp");
  const auto after = stage.state()["poses"]["upper"];
  for (std::size_t r = 0; r < 3; ++r)
    for (std::size_t k = 0; k < 4; ++k)
      CHECK(after[r][k].get<double>() == doctest::Approx(pose[r][k].get<double>()).epsilon(1e-6));
}

TEST_CASE("hands: the contact map says the gap under the pointer, as the contact report has it") {
  Stage stage({1366, 768});
  stage.act("open_sample", {{"name", "class1"}, {"triangles", 30000}});
  stage.act("set_movement", {{"segment", "lower"}, {"up", 0.6}});
  stage.act("contact_map", {{"on", true}});
  stage.act("view", {{"name", "lower"}});
  stage.frames(4);
  const auto report = stage.app().contact();
  const auto region = report["pairs"][0]["regions"][0];
  const auto at = region["at"];
  const auto p = stage.act("project", {{"x", at[0]}, {"y", at[1]}, {"z", at[2]}});
  const auto read = stage.act("gap_at", {{"x", p["x"]}, {"y", p["y"]}});
  REQUIRE(read["gap_mm"].is_number());
  CHECK(-read["gap_mm"].get<double>() == doctest::Approx(region["deepest_mm"].get<double>()).epsilon(0.25));
  stage.point(p["x"].get<float>(), p["y"].get<float>());
  stage.frames(2);
  CHECK(reads(" mm overlap, "));
  CHECK(reads(" on "));
}

TEST_CASE("hands: the ends of the legend are dragged, and the map follows") {
  Stage stage({1366, 768});
  stage.act("contact_map", {{"on", true}, {"limit_mm", 1.0}});
  const auto r = stage.state()["widgets"]["legend.limit"];
  const float right = r[0].get<float>() + r[2].get<float>() - 11, y = r[1].get<float>() + 0.5f * r[3].get<float>();
  stage.drag(right, y, right - 40, y);
  CHECK(stage.state()["contact_map"]["limit_mm"].get<double>() < 0.8);
}

TEST_CASE("hands: a place of the clearance list opens a section through it, seen face on") {
  Stage stage({1366, 768});
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 5.0}, {"up", -0.7}});
  stage.act("stop", {{"name", "clearance"}});
  stage.frames(4);
  stage.click("clearance.0");
  const auto state = stage.state();
  const auto at = state["clearance"][0]["at"];
  const auto p = stage.act("project", {{"x", at[0]}, {"y", at[1]}, {"z", at[2]}});
  const auto rect = state["views"][0]["rect"];
  CHECK(p["x"].get<double>() == doctest::Approx(rect[0].get<double>() + 0.5 * rect[2].get<double>()).epsilon(0.01));
  CHECK(state["section"]["on"].get<bool>());
  CHECK(state["selection"]["clearance"].get<int>() == 0);
  stage.click("clearance_page.taken_off");
  stage.frames(2);
  stage.click("removal.upper");
  CHECK(stage.state()["removal"].get<std::string>() == "upper");
  stage.act("back");
  CHECK(stage.state()["removal"].get<std::string>().empty());
}

// In a reverse overjet the lower incisors stand in front of the upper ones: a landmark of the upper jaw must not land
// on them.
TEST_CASE("hands: the other jaw steps aside while a landmark is placed, and comes back") {
  Stage stage({1366, 768});
  stage.act("open_sample", {{"name", "class3"}, {"triangles", 20000}});
  stage.act("view", {{"name", "front"}});
  stage.frames(4);
  const Place lower = landmark(stage, "41.labial_mid");
  const auto hit = [&] { return stage.act("pick", {{"x", lower.x}, {"y", lower.y}}); };
  CHECK(hit()["body"] == "lower_arch");
  stage.act("pick_landmark", {{"name", "11.incisal_edge_labial"}});
  stage.act("view", {{"name", "front"}});
  stage.frames(4);
  CHECK((hit().is_null() || hit()["body"] == "upper_arch"));
  stage.act("pick_landmark", {{"name", ""}});
  stage.act("view", {{"name", "front"}});
  stage.frames(4);
  CHECK(hit()["body"] == "lower_arch");
}

}  // namespace intercusp::window
