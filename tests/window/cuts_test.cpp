// Cuts on the screen: lines that follow a hand, bone that is sawn beside it, pieces that move, and what the bite reads
// then. The core called directly is the reference.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "across.h"
#include "casebook/recipe_link.h"
#include "stage.h"

namespace intercusp::window {

namespace {

constexpr std::uint32_t kTriangles = 20000;

void open_with_bone(Stage& stage) {
  stage.act("open_sample", {{"name", "class2_div1"}, {"bone", true}, {"triangles", kTriangles}});
  stage.frames(2);
}

Case same_case() {
  static const Case made = case_from_sample("class2_div1", std::nullopt, kTriangles, true).value();
  return made;
}

std::vector<std::string> segments(Stage& stage) {
  return stage.state()["segments"].get<std::vector<std::string>>();
}

bool there(const std::vector<std::string>& list, const char* name) {
  return std::find(list.begin(), list.end(), name) != list.end();
}

double measured(Stage& stage, const char* id) {
  const auto report = stage.app().measures();
  for (const auto& row : report["measures"])
    if (row["id"] == id) return row["value"].get<double>();
  FAIL(id << " is not measured");
  return 0;
}

PlanEntry usual_cut(CutKind kind) {
  return cut_entry(make_osteotomy(kind, {}).value());
}

}  // namespace

TEST_CASE("cuts: the upper jaw moves after its cut, and the bite reads what the core reads") {
  Stage stage({1366, 768});
  open_with_bone(stage);
  CHECK_FALSE(there(segments(stage), "maxilla"));
  stage.act("stop", {{"name", "cuts"}});
  stage.act("cut", {{"kind", "lefort1"}});
  CHECK(there(segments(stage), "maxilla"));
  CHECK(stage.state()["cuts"]["trouble"] == "");
  stage.act("stop", {{"name", "movement"}});
  stage.act("set_movement", {{"segment", "maxilla"}, {"forward", -4.0}, {"up", 2.0}, {"pitch", 3.0}});
  stage.frames(4);

  Case c = same_case();
  Movement m;
  m.forward_mm = -4;
  m.up_mm = 2;
  m.pitch_deg = 3;
  c.plans.push_back({"A", {usual_cut(CutKind::lefort1), {"maxilla", m, ""}}, "upper"});
  const Case pieces = with_cuts(c, &c.plans[0]).value();
  const auto poses = segment_poses(pieces, &c.plans[0], Moment::planned).value();
  const auto rows = measure_all(measure_input(pieces, poses));
  for (const MeasureRow& row : rows) {
    if (!row.value || row.definition->id.rfind("contact", 0) == 0) continue;
    const std::string id = row.definition->id;
    if (id != "overjet" && id != "overbite" && id != "molar_right" && id != "midline_upper_face") continue;
    CHECK_MESSAGE(measured(stage, id.c_str()) == doctest::Approx(row.value->value).epsilon(1e-9), id);
  }
  CHECK(stage.app().contact()["pairs"].size() == contact_pairs(pieces, poses, c.contact_settings).value().size());
  // The file keeps the cut as an entry of the plan, and the bone whole.
  const auto saved = stage.app().save();
  Stage again({1366, 768});
  REQUIRE(again.app().open_file("case.glb", saved).ok());
  again.frames(4);
  CHECK(again.state()["entries"].size() == 2);
  CHECK(there(segments(again), "maxilla"));
  CHECK(measured(again, "overjet") == doctest::Approx(measured(stage, "overjet")).epsilon(1e-9));
}

TEST_CASE("cuts: a line is dragged on the bone by the hand, as one step") {
  Stage stage({1366, 768});
  open_with_bone(stage);
  stage.act("stop", {{"name", "cuts"}});
  stage.act("cut", {{"kind", "lefort1"}});
  stage.frames(20);
  const std::size_t steps = stage.state()["history"].size();
  const auto level = [&](const char* side) {
    return stage.state()["entries"][0]["settings"][std::string("level_") + side + "_mm"].get<double>();
  };
  CHECK(level("right") == 5);
  // A place on the line: straight above the canine's apex, at the height where the cut runs.
  const auto apex = stage.app().act("project", {{"landmark", "13.apex"}}).value();
  const auto other = stage.app().act("project", {{"landmark", "16.mesiobuccal_cusp"}}).value();
  const double mm = (other["y"].get<double>() - apex["y"].get<double>());
  REQUIRE(mm > 20);
  const auto camera = stage.state()["camera"];
  const auto rect = stage.state()["views"][0]["rect"];
  const double px_per_mm = 0.5 * rect[3].get<double>() / camera["half_height_mm"].get<double>();
  const float x = apex["x"].get<float>(), y = static_cast<float>(apex["y"].get<double>() - 5.35 * px_per_mm);
  const auto pull = static_cast<float>(3 * px_per_mm);
  stage.drag(x, y, x, y - pull);
  stage.frames(3);
  CHECK(level("right") == doctest::Approx(8).epsilon(0.07));
  CHECK(level("left") == level("right"));
  CHECK(std::abs(std::fmod(level("right"), 0.5)) < 1e-9);  // snapped to the step
  CHECK(stage.state()["history"].size() == steps + 1);
  stage.act("undo");
  CHECK(level("right") == 5);
}

TEST_CASE("cuts: one that meets a root is named, nothing is sawn, and its pieces cannot move") {
  Stage stage({1366, 768});
  open_with_bone(stage);
  stage.act("stop", {{"name", "cuts"}});
  stage.act("cut", {{"kind", "lefort1"}, {"settings", {{"level_right_mm", -6}, {"level_left_mm", -6}}}});
  stage.frames(3);
  CHECK(stage.state()["cuts"]["trouble"].get<std::string>().find("meets a root") != std::string::npos);
  CHECK_FALSE(stage.text_with("meets a root").empty());
  CHECK_FALSE(there(segments(stage), "maxilla"));
  const auto refused = stage.app().act("set_movement", {{"segment", "maxilla"}, {"forward", 1.0}});
  REQUIRE_FALSE(refused.ok());
  CHECK(refused.error().what.find("meets a root") != std::string::npos);
  const auto outside = stage.app().act("cut", {{"kind", "lefort1"}, {"settings", {{"level_right_mm", 99}}}});
  REQUIRE_FALSE(outside.ok());
  CHECK(outside.error().remedy.find("25") != std::string::npos);
}

TEST_CASE("cuts: taking one away takes what its pieces did, and undo brings both back") {
  Stage stage({1366, 768});
  open_with_bone(stage);
  stage.act("stop", {{"name", "cuts"}});
  stage.act("cut", {{"kind", "lefort1"}});
  stage.act("set_movement", {{"segment", "maxilla"}, {"forward", 3.0}});
  stage.act("set_movement", {{"segment", "lower"}, {"up", 1.0}});
  REQUIRE(stage.state()["entries"].size() == 3);
  stage.act("take_cut_away", {{"kind", "lefort1"}});
  REQUIRE(stage.state()["entries"].size() == 1);
  CHECK(stage.state()["entries"][0]["segment"] == "lower");
  stage.act("undo");
  CHECK(stage.state()["entries"].size() == 3);
  CHECK(there(segments(stage), "maxilla"));
}

TEST_CASE("cuts: bone in the way is named by place, the wedge that the plan implies apart") {
  Stage stage({1366, 768});
  open_with_bone(stage);
  stage.act("stop", {{"name", "cuts"}});
  stage.act("cut", {{"kind", "lefort1"}});
  stage.act("set_movement", {{"segment", "maxilla"}, {"forward", 5.0}, {"up", 3.0}});
  stage.act("stop", {{"name", "clearance"}});
  for (int i = 0; i < 400 && stage.text_with("palatine").empty(); ++i) stage.frames(2);
  const auto list = stage.state()["clearance"];
  const auto holds = [&](const char* site, bool planned) {
    return std::any_of(list.begin(), list.end(), [&](const nlohmann::json& row) {
      return row["planned"] == planned && row["site"].get<std::string>().find(site) != std::string::npos;
    });
  };
  CHECK(holds("palatine bone", false));
  CHECK(holds("septum", false));
  CHECK(holds("lateral nasal wall", false));
  CHECK(holds("buttress", true));
  // What the page reports to a script names the same places.
  const auto pairs = stage.app().contact()["pairs"];
  std::size_t regions = 0;
  for (const auto& pair : pairs) regions += pair["regions"].size();
  CHECK(regions == list.size());
}

TEST_CASE("target: positions and closing on the screen are those of the core") {
  Stage stage({1366, 768});
  open_with_bone(stage);
  stage.act("stop", {{"name", "target"}});
  stage.act("set_movement", {{"segment", "lower"}, {"up", -3.0}});
  stage.act("close_jaw", {{"until", "contact"}});
  stage.frames(2);
  Case c = same_case();
  Movement down;
  down.up_mm = -3;
  c.plans.push_back({"A", {{"lower", down, ""}}, "upper"});
  const auto poses = segment_poses(c, &c.plans[0], Moment::planned).value();
  const auto closed = find_closing(c, poses, {}).value();
  const auto entries = stage.state()["entries"];
  REQUIRE(entries.size() == 2);
  CHECK(entries[1]["closing"]["open_deg"].get<double>() == doctest::Approx(closed.closing.open_deg).epsilon(1e-12));

  stage.act("undo");
  stage.act("seat_bite", {{"molar", "II"}, {"canine", "II"}});
  SettleSettings wanted;
  wanted.molar_quarters = wanted.canine_quarters = 4;
  wanted.contact = c.contact_settings;
  const auto offers = settle_offers(c, &c.plans[0], {"lower"}, wanted).value();
  REQUIRE(stage.state()["seating"]["offers"] == offers.size());
  REQUIRE(offers.size() > 1);
  stage.act("take_seat", {{"index", 1}});
  stage.act("take_seat", {{"index", 0}});  // in place of the other
  const auto seated = stage.state()["entries"];
  REQUIRE(seated.size() == 2);
  CHECK(seated[1]["forward_mm"].get<double>() ==
        doctest::Approx(offers[0].entries[0].movement.forward_mm).epsilon(1e-9));
  CHECK(seated[1]["up_mm"].get<double>() == doctest::Approx(offers[0].entries[0].movement.up_mm).epsilon(1e-9));
}

TEST_CASE("target: an upper jaw in pieces is offered, seated and taken back in one step") {
  Stage stage({1366, 768});
  stage.act("open_sample", {{"name", "class3"}, {"bone", true}, {"triangles", kTriangles}});
  stage.frames(2);
  stage.act("cut", {{"kind", "lefort1"}});
  stage.act("stop", {{"name", "target"}});
  stage.frames(2);
  CHECK(stage.state()["seating"]["can_move"] == nlohmann::json({"upper", "lower"}));
  CHECK_FALSE(stage.shows("seat.jaw.pieces"));
  CHECK_FALSE(stage.app().act("seat_bite", {{"segment", "pieces"}}).ok());
  stage.act("cut", {{"kind", "pieces"}});
  stage.frames(2);
  CHECK(stage.state()["seating"]["can_move"] == nlohmann::json({"upper", "pieces", "lower"}));
  CHECK(stage.state()["seating"]["moves"] == "pieces");  // unless another is chosen
  stage.click("seat.jaw.lower");
  CHECK(stage.state()["seating"]["moves"] == "lower");
  stage.click("seat.jaw.pieces");
  stage.act("seat_bite", {{"molar", "I"}, {"canine", "I"}});
  stage.frames(2);
  REQUIRE(stage.state()["seating"]["offers"] >= 1);
  CHECK_FALSE(stage.text_with("at 11 and 21").empty());
  const auto before = stage.state()["entries"].size();
  stage.click("seat.0");
  const auto entries = stage.state()["entries"];
  REQUIRE(entries.size() == before + 3);
  CHECK(entries[before]["segment"] == "maxilla");
  CHECK(entries[before + 1]["segment"] == "maxilla_right");
  CHECK(entries[before + 2]["segment"] == "maxilla_left");
  if (const char* picture = std::getenv("INTERCUSP_PICTURE")) {
    stage.look();
    stage.frames(4);
    stage.shoot(picture);
  }
  stage.act("undo");
  CHECK(stage.state()["entries"].size() == before);
}

TEST_CASE("errands: pieces, positions and closings made on the other side are those made here") {
  Case c = same_case();
  c.plans.push_back({"A", {usual_cut(CutKind::lefort1), usual_cut(CutKind::chin)}, "upper"});
  Across across;
  ErrandBench own;
  const auto made = across.ask<CutsMade>(MakeCuts{c, "A", {}});
  Errand same = MakeCuts{c, "A", {}};
  const auto mine = own.run(same, Progress());
  const auto &a = made.pieces, &b = std::get<CutsMade>(mine).pieces;
  REQUIRE(a.size() == 2);
  REQUIRE(b.size() == 2);
  for (std::size_t i = 0; i < 2; ++i) {
    CHECK(a[i].key == b[i].key);
    CHECK(a[i].sawn.positive.mesh_sha256 == b[i].sawn.positive.mesh_sha256);
    CHECK(a[i].sawn.negative.surface->mesh().positions == b[i].sawn.negative.surface->mesh().positions);
    CHECK(a[i].positive_notes.look->cavity == b[i].positive_notes.look->cavity);
  }
  // What whoever asks has already does not travel again.
  const auto more = across.ask<CutsMade>(MakeCuts{c, "A", {a[0].key}});
  REQUIRE(more.pieces.size() == 1);
  CHECK(more.pieces[0].key == a[1].key);
  // With the pieces of the other side the case comes together here without a saw.
  PieceCache cache;
  CHECK_FALSE(with_cuts_sawn(c, &c.plans[0], cache).has_value());
  for (const SawnPiece& piece : a) cache.learn(piece.key, piece.sawn);
  const auto assembled = with_cuts_sawn(c, &c.plans[0], cache);
  REQUIRE(assembled.has_value());
  REQUIRE(assembled->ok());
  const Case& pieces = assembled->value();
  CHECK(pieces.find_body("chin") != nullptr);

  const auto closed = across.ask<JawClosed>(CloseJaw{pieces, "A", {}});
  const auto poses = segment_poses(pieces, &c.plans[0], Moment::planned).value();
  CHECK(closed.result.closing.open_deg == find_closing(pieces, poses, {}).value().closing.open_deg);
  SettleSettings settings;
  const auto found = across.ask<BiteSeated>(SeatBite{pieces, "A", {"lower"}, settings});
  const auto expected = settle_offers(pieces, &c.plans[0], {"lower"}, settings).value();
  const auto& offers = found.offers;
  REQUIRE(offers.size() == expected.size());
  CHECK(offers[0].solution.motion.matrix() == expected[0].solution.motion.matrix());
  CHECK(offers[0].solution.reading == expected[0].solution.reading);
  CHECK(offers[0].entries[0].movement.forward_mm == expected[0].entries[0].movement.forward_mm);

  Case third = case_from_sample("class3", std::nullopt, kTriangles, true).value();
  third.plans.push_back({"A", {usual_cut(CutKind::lefort1), usual_cut(CutKind::pieces)}, "upper"});
  const auto cut_apart = with_cuts(third, &third.plans[0]);
  REQUIRE_MESSAGE(cut_apart.ok(), (cut_apart.ok() ? "" : cut_apart.error().sentence()));
  const Case& parted = cut_apart.value();
  const auto there = across.ask<BiteSeated>(SeatBite{parted, "A", {"maxilla", true}, settings});
  const auto here = settle_offers(parted, &third.plans[0], {"maxilla", true}, settings).value();
  REQUIRE(there.offers.size() == here.size());
  REQUIRE(there.offers[0].entries.size() == 3);
  CHECK(there.offers[0].entries[2] == here[0].entries[2]);
  CHECK(there.offers[0].solution.pieces[1].motion.matrix() == here[0].solution.pieces[1].motion.matrix());
  CHECK(there.offers[0].solution.cuts[0].space_mm == here[0].solution.cuts[0].space_mm);
  CHECK(there.offers[0].solution.molar_expansion_mm == here[0].solution.molar_expansion_mm);
}

}  // namespace intercusp::window
