// The splint on the screen: what is made, shown, reported and handed out is what the core makes. The core called
// directly is the reference.
#include <doctest/doctest.h>

#include <cmath>

#include "across.h"
#include "casebook/digest.h"
#include "casebook/recipe_link.h"
#include "casebook/splint_case.h"
#include "formats/mesh_reader.h"
#include "geometry/mesh_check.h"
#include "stage.h"

namespace intercusp::window {

namespace {

constexpr std::uint32_t kSplintTriangles = 20000;
constexpr double kCoarse = 0.35;  // mm: coarser ones fold more and take longer; the core has tests of its own

void open_small(Stage& stage) {
  stage.act("open_sample", {{"name", "class3"}, {"triangles", kSplintTriangles}});
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 4.0}, {"up", 1.0}});
  stage.act("stop", {{"name", "splint"}});
  stage.frames(3);
}

Case small_case() {
  static const Case made = case_from_sample("class3", std::nullopt, kSplintTriangles, false).value();
  Case c = made;
  Movement m;
  m.forward_mm = 4;
  m.up_mm = 1;
  c.plans.push_back({"A", {{"upper", m, ""}}, "upper"});
  return c;
}

SplintOrder coarse_order() {
  SplintOrder order;
  order.opening_mm = 1.5;  // less than it needs, so that it is thin somewhere
  order.settings.step_mm = kCoarse;
  order.settings.tolerance_mm = 0.05;
  return order;
}

const nlohmann::json kAsked = {{"opening_mm", 1.5}, {"step_mm", kCoarse}, {"tolerance_mm", 0.05}};

void press_thin_place(Stage& stage, const nlohmann::json& report) {
  REQUIRE_FALSE(report["thin"].empty());
  stage.frames(3);
  stage.click("splint.thin.0");
  stage.frames(80);
  const auto target = stage.state()["camera"]["target"];
  for (std::size_t k = 0; k < 3; ++k)
    CHECK(target[k].get<double>() == doctest::Approx(report["thin"][0]["at"][k].get<double>()).epsilon(1e-6));
  CHECK(stage.state()["section"]["on"] == true);
  stage.act("show_splint", {{"on", false}});
  CHECK(stage.state()["splint"]["shown"] == false);
  CHECK_FALSE(stage.app().act("look_at_splint", {{"thin", 0}}).ok());
}

/// One that was made for another plan or with other settings is neither shown as this one nor handed out.
void for_another_plan(Stage& stage) {
  const auto refused = [&](const char* why) {
    const auto saved = stage.app().act("save_splint", {{"format", "stl"}});
    REQUIRE_FALSE(saved.ok());
    CHECK(saved.error().what.find(why) != std::string::npos);
  };
  stage.act("set_splint", {{"rim_width_mm", 4.0}});
  refused("settings");
  stage.act("set_splint", {{"rim_width_mm", 3.0}});
  CHECK(stage.app().act("save_splint", {{"format", "stl"}}).ok());
  stage.act("set_movement", {{"segment", "upper"}, {"forward", 4.5}, {"up", 1.0}});
  refused("plan");
  CHECK(stage.state()["splint"]["made_for"] == "another plan");
  CHECK(stage.state()["splint"]["shown"] == false);
  stage.act("undo");
  CHECK(stage.app().act("save_splint", {{"format", "stl"}}).ok());
  stage.act("set_splint", {{"stage", "intermediate"}});
  refused("no splint");
  stage.act("splint", {{"stage", "final"}, {"quick", true}});
  refused("quick look");
  CHECK(stage.state()["splint"]["made"]["upper"]["seats"].is_null());
}

}  // namespace

TEST_CASE("splint: what the screen makes, shows and hands out is what the core makes") {
  Stage stage({1366, 768});
  open_small(stage);
  CHECK(stage.state()["splint"]["made"].is_null());
  const auto report = stage.act("splint", kAsked);
  const Case c = small_case();
  const auto made = splint_of_case(c, c.plans[0], plan_digest(c, c.plans[0]), coarse_order()).value();
  CHECK(report == splint_report(c, c.plans[0], made));
  CHECK(stage.state()["splint"]["made"] == report);
  CHECK(stage.state()["splint"]["made_for"] == "now");
  CHECK(report["upper"]["seats"] == true);
  CHECK_FALSE(stage.text_with("Upper teeth seat").empty());
  CHECK_FALSE(stage.text_with("Held open").empty());
  // The lower jaw stands as the splint holds it, the bite card as the plan has it.
  const auto pose = stage.state()["poses"]["lower"];
  const Pose& held = made.poses.at("lower");
  CHECK(pose[2][3].get<double>() == doctest::Approx(held.translation().z()).epsilon(1e-9));
  CHECK(std::abs(held.translation().z()) > 1e-3);
  stage.act("stop", {{"name", "movement"}});
  stage.frames(2);
  CHECK(stage.state()["poses"]["lower"][2][3].get<double>() == 0);
  stage.act("stop", {{"name", "splint"}});
  for (const char* format : {"stl", "3mf"})
    stage.act("save_splint", {{"format", format}, {"checked_by", "A. Checker"}});
  const Bytes stl = stage.host().offered.at("class3-final-splint.stl");
  const auto read = read_mesh(stl.data(), stl.size(), "splint.stl");
  REQUIRE(read.ok());
  const MeshCheck check = check_mesh(read.value().mesh);
  CHECK(check.closed());
  CHECK(check.components == 1);
  CHECK(signed_volume(read.value().mesh) == doctest::Approx(report["volume_mm3"].get<double>()).epsilon(1e-4));
  const Bytes text = stage.host().offered.at("class3-final-splint.txt");
  const std::string note(text.begin(), text.end());
  CHECK(note == splint_note(c, c.plans[0], made, "A. Checker"));
  CHECK(note.find("printed models") != std::string::npos);
  CHECK(stage.host().offered.count("class3-final-splint.3mf") == 1);
  press_thin_place(stage, report);
  for_another_plan(stage);
}

TEST_CASE("splint: one press mends what is thin and says how, and it can be taken back") {
  Stage stage({1366, 768});
  open_small(stage);
  const auto thin = stage.act("splint", kAsked);
  REQUIRE_FALSE(thin["thin"].empty());
  stage.frames(3);
  stage.click("splint.mend");
  stage.frames(5);
  const auto mended = stage.state()["splint"];
  CHECK(mended["made"]["thin"].empty());
  REQUIRE_FALSE(mended["made"]["mended"].empty());
  CHECK(mended["made_for"] == "now");
  CHECK(mended["order"]["opening_mm"].get<double>() > 1.5);
  CHECK_FALSE(stage.text_with("Mended: ").empty());
  stage.act("set_splint", {{"rounding_mm", 1.0}});  // tried afterwards: the way back stays
  stage.frames(3);
  CHECK(stage.state()["splint"]["made_for"] == "other settings");
  stage.click("splint.undo_mend");
  stage.frames(3);
  CHECK(stage.state()["splint"]["made"] == thin);
  CHECK(stage.state()["splint"]["made_for"] == "now");
  CHECK(stage.state()["splint"]["order"]["opening_mm"] == 1.5);
}

TEST_CASE("splint: its walls in colours with a legend, and a path of seating as it is given") {
  Stage stage({1366, 768});
  open_small(stage);
  const auto found = stage.act("splint", kAsked);
  CHECK(found["upper"]["path"]["chosen"] == "found");
  stage.frames(3);
  CHECK_FALSE(stage.text_with("upper seats").empty());
  CHECK(stage.text_with("wall thickness").empty());
  stage.click("splint.show.thickness");
  stage.frames(3);
  CHECK(stage.state()["splint"]["thickness_shown"] == true);
  CHECK_FALSE(stage.text_with("wall thickness").empty());
  CHECK_FALSE(stage.text_with("mm thick").empty());
  nlohmann::json asked = kAsked;
  asked["upper_path"] = {6.0, -2.0};
  const auto given = stage.act("splint", asked);
  CHECK(given["upper"]["path"]["chosen"] == "given");
  CHECK(given["upper"]["path"]["forward_deg"] == 6.0);
  CHECK(given["upper"]["path"]["left_deg"] == -2.0);
  CHECK(given["lower"]["path"] == found["lower"]["path"]);
  CHECK_FALSE(stage.app().act("set_splint", {{"upper_path", {40.0, 0.0}}}).ok());
  CHECK(stage.act("set_splint", {{"upper_path", nullptr}})["upper_path"].is_null());
}

TEST_CASE("splint: what cannot be made is refused with the reason and what would do, and one press does it") {
  Stage stage({1366, 768});
  open_small(stage);
  const auto outside = stage.app().act("set_splint", {{"clearance_mm", 9.0}});
  REQUIRE_FALSE(outside.ok());
  CHECK(outside.error().remedy.find("0.5") != std::string::npos);
  CHECK(stage.state()["splint"]["order"]["clearance_mm"] == 0.1);
  for (const auto& bad : {nlohmann::json{{"holes", {19}}}, nlohmann::json{{"relief", {{"13", 9}}}},
                          nlohmann::json{{"stage", "first"}}, nlohmann::json{{"opening_mm", 30}}})
    CHECK_FALSE(stage.app().act("set_splint", bad).ok());
  const auto thin = stage.app().act("splint", {{"refuse_thin", true}, {"step_mm", kCoarse}});
  REQUIRE_FALSE(thin.ok());
  CHECK(thin.error().what.find("least thickness") != std::string::npos);
  CHECK(thin.error().remedy.find("open the bite") != std::string::npos);
  CHECK_FALSE(stage.text_with("It cannot be made so").empty());
  CHECK(stage.state()["splint"]["refusal"]["what"] == thin.error().what);
  stage.act("set_splint", {{"refuse_thin", false}});
  CHECK(stage.state()["splint"]["refusal"].is_null());
}

TEST_CASE("errands: a splint made on the other side is the one made here") {
  const Case c = small_case();
  Across across;
  SplintOrder order = coarse_order();
  order.holes = {14, 24};
  order.relief = {{13, 1.5}};
  order.settings.rim_width_mm = 3.5;
  order.settings.to_print = false;
  const auto a = across.ask<SplintMade>(MakeSplint{c, "A", "digest", order});
  const auto& b = std::get<SplintMade>(across.far);
  CHECK(a.body.surface->mesh().positions == b.body.surface->mesh().positions);
  CHECK(a.report == b.report);
  CHECK(a.made.order.settings.rim_width_mm == 3.5);
  CHECK(a.made.order.relief == order.relief);
  CHECK(a.made.order.holes == order.holes);
  CHECK(a.warnings == b.warnings);
  CHECK(a.thin_places == b.thin_places);
  CHECK(splint_note(c, c.plans[0], a.made, "") == splint_note(c, c.plans[0], b.made, ""));
}

}  // namespace intercusp::window
