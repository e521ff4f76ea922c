#include "casebook/sheet.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "casebook/bone_case.h"
#include "casebook/recipe_link.h"
#include "casebook/sheet_parts.h"
#include "casebook/small_case.h"
#include "geometry/shapes.h"

using namespace intercusp;
using namespace intercusp::test;

namespace {

Movement by(double forward, double up, double left = 0) {
  Movement m;
  m.forward_mm = forward;
  m.up_mm = up;
  m.left_mm = left;
  return m;
}

TheatreSheet sheet_of(const Case& c) {
  auto sheet = make_sheet(c, "A", {"", "2026-02-21"});
  REQUIRE_MESSAGE(sheet.ok(), (sheet.ok() ? "" : sheet.error().sentence()));
  return std::move(sheet).value();
}

const SheetTable& table_of(const TheatreSheet& sheet, const std::string& title) {
  for (const SheetTable& table : sheet.tables) {
    if (table.title.rfind(title, 0) == 0) return table;
  }
  FAIL("no table " << title);
  return sheet.tables.front();
}

const std::vector<std::string>* row_of_table(const SheetTable& table, const std::string& first) {
  for (const auto& row : table.rows) {
    if (row.front() == first) return &row;
  }
  return nullptr;
}

std::size_t with_words(const std::vector<std::string>& lines, const std::string& words) {
  return static_cast<std::size_t>(std::count_if(
      lines.begin(), lines.end(), [&](const std::string& line) { return line.find(words) != std::string::npos; }));
}

/// Two boxes for arches, the upper one moved; the lower incisors of the small case overlap the upper by 2.
TheatreSheet moved_boxes(const std::vector<PlanEntry>& entries) {
  Case c = small_case();
  c.bodies[0] = make_body("upper_arch", Surface::make(shapes::box({-2, 0, 0}, {2, 2, 3})));
  c.bodies[1] = make_body("lower_arch", Surface::make(shapes::box({-3, -1, -4}, {3, 10, -2})));
  c.plans.push_back({"A", entries, "upper"});
  return sheet_of(c);
}

std::vector<PlanEntry> all_cuts(const std::map<std::string, double>& lefort = {},
                                const std::map<std::string, double>& split = {},
                                const std::map<std::string, double>& chin = {}) {
  return {cut_entry(cut_of(CutKind::lefort1, lefort)), cut_entry(cut_of(CutKind::split_right, split)),
          cut_entry(cut_of(CutKind::split_left)), cut_entry(cut_of(CutKind::chin, chin))};
}

}  // namespace

TEST_CASE("a condyle in its fossa is warned of side by side, also where only the intermediate position has it there") {
  const auto joint = [](const char* side, double deepest_mm) {
    BoneInWay row;
    row.part.site.id = "joint";
    row.part.site.side = side;
    row.part.overlap.deepest_mm = deepest_mm;
    return row;
  };
  // The right one touches as planned, which hides nothing of the left.
  const std::vector<std::string> lines = condyle_warnings({{joint("right", 0.05)}, {joint("left", 3)}});
  REQUIRE(lines.size() == 1);
  CHECK(lines[0].rfind("CONDYLE left is driven 3.0 mm into its fossa in the intermediate position:", 0) == 0);
  CHECK(condyle_warnings({{joint("right", 2)}, {joint("right", 5)}}) ==
        std::vector<std::string>{
            "CONDYLE right is driven 2.0 mm into its fossa: no bone is taken off there, change the plan."});
  CHECK(condyle_warnings({{joint("right", 0.05)}, {}}).empty());
}

TEST_CASE("the sheet says what drives a condyle into its fossa, which screws meet roots, and how the chin goes") {
  // So low a cut leaves the screws below it among the roots.
  std::vector<PlanEntry> entries = all_cuts({{"level_right_mm", 2}, {"level_left_mm", 2}}, {}, {{"level_mm", 9}});
  entries.push_back(moved("maxilla", by(4, 3)));
  entries.push_back(moved("lower", by(0, 5)));
  entries.push_back(moved("chin", by(4, 1)));
  const TheatreSheet sheet = sheet_of(planned(entries));
  CHECK(with_words(sheet.warnings, "CONDYLE right is driven ") == 1);
  CHECK(with_words(sheet.warnings, "CONDYLE left is driven ") == 1);
  for (const auto& row : table_of(sheet, "Bone to remove").rows) CHECK(row[0].find("fossa") == std::string::npos);
  const auto* right = row_of_table(table_of(sheet, "Condyles"), "Right");
  REQUIRE(right);
  CHECK(right->at(4).find("> none (in the fossa)") != std::string::npos);

  // Every site whose row says so has its warning, and carries the number of a remark.
  std::size_t near = 0;
  const SheetTable& plates = table_of(sheet, "Plate sites");
  for (const auto& row : plates.rows) {
    const bool meets = row[5] == "MEETS";
    if (!meets && std::stod(row[5]) >= 1) continue;
    ++near;
    CHECK(row[6] != "-");
    std::string site = row[0];
    site[0] = static_cast<char>(site[0] - 'A' + 'a');
    CHECK_MESSAGE(with_words(sheet.warnings, "SCREW of 6 mm, " + site) >= 1, site);
  }
  CHECK(near >= 1);
  CHECK(with_words(plates.notes, ": a screw comes within 1 mm of a root.") == 1);

  CHECK(with_words(sheet.movements, "Right and left ramus go with the lower jaw") == 1);
  CHECK(
      with_words(sheet.movements,
                 "Chin against the lower jaw, at Gn: 4.0 mm forward, 1.0 mm up; in all 4.0 mm forward, 6.0 mm up; Pog "
                 "lies above the cut") == 1);
  const SheetTable& points = table_of(sheet, "Movement of points");
  REQUIRE(row_of_table(points, "Me (chin)"));
  CHECK(row_of_table(points, "Me (chin)")->at(2) == "6.0 up");
  REQUIRE(row_of_table(points, "Pog (above the chin cut)"));
  CHECK(row_of_table(points, "Pog (above the chin cut)")->at(2) == "5.0 up");
}

TEST_CASE("the sheet says what slides at a split, and where cuts lie that are not as usual") {
  std::vector<PlanEntry> entries =
      all_cuts({{"slope_right_deg", 5}, {"slope_left_deg", 5}, {"step_right_mm", 2}},
               {{"depth_share", 0.4}, {"plate_mm", 2}, {"front_mm", -1}}, {{"slope_deg", -10}});
  Movement turned;
  turned.roll_deg = 1;
  entries.push_back(moved("mandible", by(-4, 0)));
  entries.push_back(moved("ramus_left", turned));
  Case c = planned(entries);
  c.face.numbers["midline_upper_mm"] = -2;
  const TheatreSheet sheet = sheet_of(c);
  CHECK(with_words(sheet.movements, "Left ramus, at its condyle: roll 1.0 degrees left side down.") == 1);
  CHECK(with_words(sheet.movements, "Right ramus") == 0);
  CHECK(with_words(sheet.movements, "At the split, lower jaw against ramus: right 4.0 mm back; left ") == 1);
  const auto* left = row_of_table(table_of(sheet, "Condyles"), "Left");
  REQUIRE(left);
  CHECK(left->at(2) == "roll 1.0 left down");

  const SheetTable& cuts = table_of(sheet, "Cuts");
  const auto& upper = *row_of_table(cuts, "Le Fort I cut");
  CHECK(upper[1].find("rising 5.0 degrees backwards, right 2.0 mm higher behind the buttress") != std::string::npos);
  const auto& split = *row_of_table(cuts, "Sagittal split on the right");
  CHECK(split[1].find("depth 40 % of the ramus' thickness from outside, 2.0 mm below the outer plate at its front end, "
                      "front end 1.0 mm before the contact") != std::string::npos);
  CHECK(row_of_table(cuts, "Sagittal split on the left")->at(1).find("front end") == std::string::npos);
  CHECK(row_of_table(cuts, "Chin cut")->at(1).find("10.0 degrees falling backwards") != std::string::npos);

  // Two sources of one midline, each named, and a warning where they are apart.
  CHECK(with_words(sheet.warnings, "UPPER MIDLINE at the start: ") == 1);
  CHECK(with_words(sheet.warnings, "2.0 mm right as read in the clinic") == 1);
  CHECK(row_of_table(table_of(sheet, "Occlusion"), "Upper midline to the face, by the records"));
  CHECK(row_of_table(table_of(sheet, "The face"), "Upper dental midline against the face, by the clinic"));
  c.face.numbers["midline_upper_mm"] = 0;
  CHECK(with_words(sheet_of(c).warnings, "UPPER MIDLINE") == 0);
}

TEST_CASE("a bite that is open, reverse, apart or without contact as planned stands first on the sheet") {
  const TheatreSheet apart = moved_boxes({moved("upper", by(0, 3))});
  CHECK(with_words(apart.warnings, "NO CONTACT") == 1);
  CHECK(with_words(apart.warnings, "OPEN BITE in front as planned, 1.00 mm.") == 1);
  CHECK(with_words(apart.movements, "Lower jaw: does not move; the planned bite is read with it as scanned") == 1);
  const TheatreSheet reverse = moved_boxes({moved("upper", by(-5, -2.05))});
  CHECK(with_words(reverse.warnings, "NO CONTACT") == 0);
  CHECK(with_words(reverse.warnings, "OPEN BITE") == 0);
  CHECK(with_words(reverse.warnings, "REVERSE OVERJET as planned, 2.00 mm.") == 1);
  // Forward alone leaves the height: nothing to say of the hinge.
  CHECK(with_words(moved_boxes({moved("upper", by(1, 0))}).movements, "Lower jaw: does not move.") == 1);
}

TEST_CASE("a side that is open at the back or crosses as planned is warned of, that side alone") {
  const Case sample = case_from_sample("class3", std::nullopt, 20000, false).value();
  const auto warnings = [&](const PlanEntry& entry) {
    Case c = sample;
    c.plans.push_back({"A", {entry}, "upper"});
    return sheet_of(c).warnings;
  };
  PlanEntry rolled = moved("upper", by(0, 0));
  rolled.movement.roll_deg = -3;  // the left side up
  const auto open = warnings(rolled);
  CHECK(with_words(open, "OPEN BITE at the back on the left as planned") == 1);
  CHECK(with_words(open, "OPEN BITE at the back on the right as planned") == 0);
  // To the patient's left: the right upper teeth go inwards, past the lower ones.
  const auto across = warnings(moved("upper", by(4, 0, 5)));
  CHECK(with_words(across, "CROSSBITE at the back on the right as planned") == 1);
  CHECK(with_words(across, "CROSSBITE at the back on the left") == 0);
  const auto still = warnings(moved("upper", by(0, 0)));
  CHECK(with_words(still, "at the back") == 0);
}

TEST_CASE("teeth that meet early and teeth that pass through each other are told apart") {
  const TheatreSheet early = moved_boxes({moved("upper", by(0, -2.2))});
  CHECK(early.warnings.front().rfind("EARLY CONTACT ", 0) == 0);
  CHECK(early.warnings.front().find("0.20 mm as planned") != std::string::npos);
  const TheatreSheet deep = moved_boxes({moved("upper", by(0, -2.4))});
  CHECK(deep.warnings.front().rfind("TEETH pass through each other by up to 0.40 mm", 0) == 0);
}

TEST_CASE("midlines a millimetre apart as planned are warned of, less is not") {
  const auto told = [](double left) {
    Case c = small_case();
    for (const auto& [name, at] : {std::pair<const char*, Vec3>{"11.contact_mesial", {0, 0, 1}},
                                   {"21.contact_mesial", {0, 0, 1}},
                                   {"31.contact_mesial", {0, 3, 1}},
                                   {"41.contact_mesial", {0, 3, 1}}})
      c.landmarks[name] = {at, true};
    c.plans.push_back({"A", {moved("upper", by(0, 0, left))}, "upper"});
    return with_words(sheet_of(c).warnings, "MIDLINES 1.00 mm apart as planned, the upper to the right of the lower.");
  };
  CHECK(told(-1) == 1);
  CHECK(told(-0.9) == 0);
}

TEST_CASE("the staging is this plan's own") {
  const auto staging = [](const std::vector<PlanEntry>& entries, const char* first) {
    Case c = small_case();
    c.landmarks["condyle_centre_right"] = {Vec3(-50, 90, 20), true};
    c.landmarks["condyle_centre_left"] = {Vec3(50, 90, 20), true};
    c.plans.push_back({"A", entries, first});
    return sheet_of(c).staging;
  };
  const PlanEntry upper = moved("upper", by(1, 0)), lower = moved("lower", by(-1, 0));
  CHECK(staging({upper}, "upper") == "One jaw moves: there is no intermediate position.");
  CHECK(staging({upper, lower}, "upper").find("the lower jaw as scanned.") != std::string::npos);
  CHECK(staging({upper, lower}, "lower").find("the upper jaw as scanned.") != std::string::npos);
  const PlanEntry closed = closing_entry({-1.5, "condyles", "contact", 0});
  CHECK(staging({upper, closed, lower}, "upper")
            .find("the lower jaw turned closed 1.5 degrees about the axis through the condyles.") != std::string::npos);
  const PlanEntry chin = moved("chin", by(2, 0));
  CHECK(staging({chin}, "upper").find("Only the chin moves: the bite stays as scanned") == 0);
  CHECK(staging({upper, chin}, "upper").find("there is no intermediate bite") != std::string::npos);
  CHECK(staging({lower, chin}, "upper") == "One jaw moves: there is no intermediate position.");
  // A turn after the lower jaw was moved is none of the intermediate position's.
  CHECK(staging({upper, lower, closed}, "upper").find("the lower jaw as scanned.") != std::string::npos);
}

TEST_CASE("teeth on the way are named with the movement, not with its number in the plan") {
  const TheatreSheet sheet =
      moved_boxes({moved("upper", by(8, 0)), moved("upper", by(0, -3)), moved("upper", by(-20, 0))});
  CHECK(with_words(sheet.warnings, "on the way of the upper jaw's 20.0 mm back: open the jaw for it.") == 1);
  CHECK(with_words(sheet.warnings, "Step ") == 0);
}

TEST_CASE("what cannot be measured says why, and heights say what they are the mean of") {
  Case c = small_case();
  c.landmarks.erase("46.mesiobuccal_cusp");
  c.plans.push_back({"A", {moved("upper", by(0, 3))}, "upper"});
  const TheatreSheet sheet = sheet_of(c);
  const SheetTable& bite = table_of(sheet, "Occlusion");
  REQUIRE(row_of_table(bite, "Molar relation, right"));
  CHECK(row_of_table(bite, "Molar relation, right")->at(3) == "not measurable");
  for (const auto& row : bite.rows) {
    if (row[3] != "not measurable") continue;
    CHECK_MESSAGE(with_words(bite.notes, row[0]) == 1, row[0]);
  }
  CHECK(with_words(bite.notes, "Not measurable without ") >= 1);
  CHECK(with_words(table_of(sheet, "Movement of points").notes, "Not placed, so not followed: ANS, PNS") == 1);
  CHECK(row_of_table(table_of(sheet, "How moves"), "Upper jaw 3.0 mm up (mean of incisors and molars)"));
}

TEST_CASE("a turn of half a degree or more is said as pitch and roll beside the heights, less is not") {
  const auto sentence = [](double pitch) {
    Case c = small_case();
    Movement m = by(1, 0);
    m.pitch_deg = pitch;
    c.plans.push_back({"A", {moved("upper", m)}, "upper"});
    return sheet_of(c).movements.front();
  };
  CHECK(sentence(0.6).find(", pitch 0.6 degrees front up.") != std::string::npos);
  CHECK(sentence(0.4).find("pitch") == std::string::npos);
}

TEST_CASE("a screw near a root or a canal has its words, the nearer of both") {
  SheetScrew screw{"left split", "in the ramus", 0.42, std::nullopt, "37"};
  CHECK(screw_words(screw) == "0.42 mm from the root of 37");
  screw.canal_mm = -0.2;
  CHECK(screw_words(screw) == "MEETS the mandibular canal");
  screw.canal_mm = 0.7;
  screw.root_mm = 1.3;
  CHECK(screw_words(screw) == "0.70 mm from the mandibular canal");
  screw.canal_mm = 1;
  CHECK(screw_words(screw).empty());
  screw.root_mm = 0;
  screw.tooth = "";
  CHECK(screw_words(screw) == "MEETS a root");
  // A canal along y, 1.5 thick about its line.
  const PointMap points{{"mandibular_foramen_left", Vec3(0, 20, 0)}, {"mental_foramen_left", Vec3(0, 0, 0)}};
  CHECK(from_mandibular_canal(points, "left", {Vec3(9, 9, 0), Vec3(2, 10, 0)}).value() == doctest::Approx(0.5));
  CHECK_FALSE(from_mandibular_canal(points, "right", {Vec3(2, 10, 0)}));
}

TEST_CASE("regions of bone at one place are one line, what is planned before contact, joints none") {
  const auto region = [](const char* id, const char* words, double deep, double volume, bool planned) {
    BoneInWay row;
    row.part.site = {id, "right", words, true};
    row.part.overlap.deepest_mm = deep;
    row.part.overlap.volume_mm3 = volume;
    row.planned = planned;
    return row;
  };
  const auto places = bone_places(
      {region("joint", "right condyle against its fossa", 6, 700, false), region("septum", "nasal septum", 3, 0, false),
       region("rim", "right rim", 1, 10, true), region("rim", "right rim", 2, 5, true),
       region("septum", "nasal septum", 1, 40, false), region("rim", "right rim", 4, 1, false)});
  REQUIRE(places.size() == 3);
  CHECK(places[0].planned);
  CHECK(places[0].deepest_mm == 2);
  CHECK(places[0].volume_mm3 == 15);
  CHECK(places[1].words == "right rim");
  CHECK(places[2].volume_mm3 == 40);
}

TEST_CASE("the sheet says what an upper jaw in pieces does, and its section has the arch though it is parted") {
  const TheatreSheet sheet =
      sheet_of(planned({cut_entry(cut_of(CutKind::lefort1)), cut_entry(cut_of(CutKind::pieces, {{"count", 3}})),
                        moved("maxilla", by(4, 0)), moved("maxilla_right", by(0, 1, -1))}));
  CHECK(with_words(sheet.movements,
                   "Right piece of the upper jaw, besides the whole jaw's, at the incisors: 1.0 mm up, "
                   "1.0 mm to the patient's right.") == 1);
  CHECK_FALSE(sheet.bite.upper.empty());
  CHECK_FALSE(sheet.bite.upper_before.empty());
  const auto& pieces = *row_of_table(table_of(sheet, "Cuts"), "Cut of the upper jaw into pieces");
  CHECK(pieces[1].rfind("3 pieces, 3 teeth of each side in the front one", 0) == 0);
}
