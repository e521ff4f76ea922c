// Feasibility on the screen: plate sites, how moves are reported to hold, bone after removal, the slope of a cut
// dragged on the bone. The core called directly is the reference.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "across.h"
#include "casebook/case_file.h"
#include "casebook/recipe_link.h"
#include "casebook/sheet.h"
#include "stage.h"

namespace intercusp::window {

namespace {

/// The Class III sample with bone, its upper jaw freed and moved.
void plan_setback(Stage& stage, double forward, double up) {
  stage.act("open_sample", {{"name", "class3"}, {"bone", true}, {"triangles", 20000}});
  stage.frames(2);
  stage.act("cut", {{"kind", "lefort1"}});
  stage.act("set_movement", {{"segment", "maxilla"}, {"forward", forward}, {"up", up}});
}

nlohmann::json step_settings(Stage& stage) {
  return stage.state()["entries"][0]["settings"];
}

}  // namespace

TEST_CASE(
    "feasibility: plates and stability read as the core reports them, and the sheet has the bytes of the command "
    "line") {
  Stage stage({1366, 768});
  plan_setback(stage, 5, 3);
  stage.act("clearance_page", {{"name", "plates"}});
  const auto report = stage.app().contact();
  REQUIRE(report["plates"].size() == 4);
  CHECK(stage.state()["plates"] == report["plates"]);
  REQUIRE(report["stability"].size() == 2);
  CHECK(stage.state()["stability"] == report["stability"]);
  CHECK(report["stability"][0]["rank"] == "very stable");
  // Words where contact is poor, and the numbers of the site chosen.
  CHECK_FALSE(stage.text_with("Right piriform rim").empty());
  stage.click("plate.0");
  CHECK(stage.state()["selection"]["plate"] == 0);
  CHECK_FALSE(stage.text_with("tep over 2 mm").empty());
  CHECK_FALSE(stage.text_with("mm from a root").empty());
  char bone[32];
  std::snprintf(bone, sizeof bone, "bone %.1f mm", report["plates"][0]["screws"][0]["thickness_mm"].get<double>());
  CHECK_FALSE(stage.text_with(bone).empty());
  // The other sites are marked on the model; a click on a mark goes there.
  stage.act("plate");
  stage.act("view", {{"name", "front"}});
  stage.frames(20);
  stage.click("place_mark.1");
  CHECK(stage.state()["selection"]["plate"] == 1);

  stage.act("stop", {{"name", "movement"}});
  CHECK_FALSE(stage.text_with("very stable").empty());
  stage.click("stability");
  CHECK_FALSE(stage.text_with("Proffit, Turvey and Phillips").empty());
  stage.act("back");
  stage.frames(2);
  CHECK_FALSE(stage.shows("stability.close"));

  stage.act("sheet", {{"checked_by", "A. Checker"}, {"date", "2026-02-21"}});
  const auto saved = stage.app().save();
  const Case c = read_case(saved.data(), saved.size()).value();
  const auto pdf = sheet_pdf(make_sheet(c, "A", {"A. Checker", "2026-02-21"}).value()).value();
  const auto& offered = stage.host().offered;
  const auto found = std::find_if(offered.begin(), offered.end(),
                                  [](const auto& file) { return file.first.find("-sheet.pdf") != std::string::npos; });
  REQUIRE(found != offered.end());
  CHECK(found->second == pdf);
}

TEST_CASE("feasibility: bone after removal is that of the core, and goes when the position changes") {
  Stage stage({1366, 768});
  plan_setback(stage, -4, 0);
  stage.act("stop", {{"name", "clearance"}});
  for (int i = 0; i < 400 && stage.text_with("pterygoid").empty(); ++i) stage.frames(2);
  stage.click("clearance_page.taken_off");
  CHECK(stage.state()["clearance_page"] == "taken_off");
  stage.click("removal.make");
  stage.frames(4);
  const auto made = stage.state()["bone_removal"];
  REQUIRE(made["bones"].size() == 1);
  CHECK(made["shown"] == true);
  CHECK(made["bones"][0]["body"] == "maxilla");
  CHECK(made["bones"][0]["left_mm"] == 0);
  CHECK_FALSE(stage.text_with("Nothing is left in the way").empty());

  const auto saved = stage.app().save();
  const Case c = read_case(saved.data(), saved.size()).value();
  const Case cut = with_cuts(c, &c.plans[0]).value();
  const auto poses = segment_poses(cut, &c.plans[0], Moment::planned).value();
  const auto pairs = contact_pairs(cut, poses, c.contact_settings).value();
  const auto bones = trim_bones(cut, poses, bone_in_way(cut, &c.plans[0], poses, pairs), 0.5).value();
  REQUIRE(bones.size() == 1);
  CHECK(made["bones"][0]["removed_mm3"].get<double>() == doctest::Approx(bones[0].removal.removed_mm3).epsilon(1e-12));
  CHECK(made["bones"][0]["gap_mm"].get<double>() == doctest::Approx(bones[0].removal.least_gap_mm).epsilon(1e-12));
  // Another clearance takes more; outside the range it is refused.
  const auto more = stage.act("bone_removal", {{"clearance_mm", 1.0}});
  CHECK(more["bones"][0]["removed_mm3"].get<double>() > made["bones"][0]["removed_mm3"].get<double>());
  CHECK_FALSE(stage.app().act("bone_removal", {{"clearance_mm", -1}}).ok());
  stage.act("back");
  CHECK(stage.state()["bone_removal"]["shown"] == false);
  stage.act("bone_removal");
  CHECK(stage.state()["bone_removal"]["shown"] == true);
  stage.act("set_movement", {{"segment", "maxilla"}, {"forward", 2.0}});
  stage.frames(2);
  CHECK(stage.state()["bone_removal"]["shown"] == false);
  CHECK(stage.state()["bone_removal"]["bones"].empty());

  // The same made on the other side of the wire, and the plates.
  Across across;
  const auto plates = across.ask<PlatesMeasured>(MeasurePlates{cut, "A", poses}).gaps;
  const auto expected = plate_gaps(cut, &c.plans[0], poses);
  REQUIRE(plates.size() == expected.size());
  for (std::size_t i = 0; i < plates.size(); ++i) CHECK(plate_row(plates[i]) == plate_row(expected[i]));
  FindBoneInWay where{cut, "A", poses, pairs_to_compare(cut, poses, "maxilla", "upper_bone_above").value(),
                      c.contact_settings};
  const auto trimmed = across.ask<BonesTrimmed>(TrimBones{where, 0.5});
  REQUIRE(trimmed.bones.size() == 1);
  CHECK(trimmed.bones[0].removed_mm3 == bones[0].removal.removed_mm3);
  const auto& opened = trimmed.bones[0].ready.notes.look->opened;
  REQUIRE(opened.size() == trimmed.bones[0].ready.surface->mesh().positions.size());
  CHECK(std::count(opened.begin(), opened.end(), Opened::cut_back) > 50);
  CHECK(std::count(opened.begin(), opened.end(), Opened::sawn) > 50);
}

TEST_CASE("feasibility: the rear end of a Le Fort I is dragged to slope it, as one step, with live distances") {
  Stage stage({1366, 768});
  stage.act("open_sample", {{"name", "class3"}, {"bone", true}, {"triangles", 20000}});
  stage.act("stop", {{"name", "cuts"}});
  stage.act("cut", {{"kind", "lefort1"}});
  stage.act("view", {{"name", "right"}});
  stage.frames(30);
  REQUIRE(stage.shows("cut.slope_right"));
  CHECK_FALSE(stage.shows("cut.slope_left"));
  const std::size_t steps = stage.state()["history"].size();
  const Rect grip = stage.place_of("cut.slope_right");
  const float x = grip.x + 0.5f * grip.w, y = grip.y + 0.5f * grip.h;
  const auto camera = stage.state()["camera"];
  const auto rect = stage.state()["views"][0]["rect"];
  const double px_per_mm = 0.5 * rect[3].get<double>() / camera["half_height_mm"].get<double>();
  const auto pull = static_cast<float>(4 * px_per_mm);
  stage.drag(x, y, x, y - pull);
  stage.frames(3);
  const auto settings = step_settings(stage);
  const double slope = settings["slope_right_deg"].get<double>();
  CHECK(slope > 2);
  CHECK(settings["slope_left_deg"] == slope);
  CHECK(settings["level_right_mm"] == 5);
  CHECK(std::abs(std::fmod(slope, 0.5)) < 1e-9);
  // The end has followed the hand, to the step of half a degree over the length of the jaw.
  const Rect now = stage.place_of("cut.slope_right");
  CHECK(std::abs(now.y + 0.5f * now.h - (y - pull)) < 0.6 * px_per_mm);
  CHECK(stage.state()["history"].size() == steps + 1);
  // What it comes near is that of the cut as it is now.
  const auto saved = stage.app().save();
  const Case c = read_case(saved.data(), saved.size()).value();
  const auto placed = place_cut(c, c.plans[0].entries[0].cut).value();
  char nearest[32];
  std::snprintf(nearest, sizeof nearest, "%.1f mm clear", placed.clearances.front().distance_mm);
  if (!placed.clearances.front().too_near()) CHECK_FALSE(stage.text_with(nearest).empty());
  stage.act("undo");
  CHECK(step_settings(stage)["slope_right_deg"] == 0);
  stage.act("view", {{"name", "front"}});
  stage.frames(20);
  CHECK_FALSE(stage.shows("cut.slope_right"));
}

}  // namespace intercusp::window
