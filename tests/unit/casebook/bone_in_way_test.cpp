#include "casebook/bone_in_way.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <map>
#include <set>

#include <nlohmann/json.hpp>

#include "base/sha256.h"
#include "casebook/bone_case.h"
#include "casebook/plate_sites.h"
#include "casebook/sheet.h"
#include "casebook/small_case.h"
#include "casebook/tooth_path.h"
#include "geometry/level_mesh.h"
#include "geometry/shapes.h"
#include "geometry/signed_distance.h"

using namespace intercusp;
using namespace intercusp::test;
using doctest::Approx;

namespace {

Movement upper_move(double forward, double up) {
  Movement m;
  m.forward_mm = forward;
  m.up_mm = up;
  return m;
}

struct InWay {
  Case cut;
  SegmentPoses poses;
  std::vector<ContactPair> pairs;
  std::vector<BoneInWay> rows;
};

InWay in_way(const Case& c) {
  InWay w;
  w.cut = made(c);
  w.poses = segment_poses(w.cut, &w.cut.plans[0], Moment::planned).value();
  w.pairs = contact_pairs(w.cut, w.poses, w.cut.contact_settings, "maxilla", "upper_bone_above").value();
  w.rows = bone_in_way(w.cut, &w.cut.plans[0], w.poses, w.pairs);
  return w;
}

Case upper_plan(double forward, double up) {
  return planned({cut_entry(cut_of(CutKind::lefort1)), moved("maxilla", upper_move(forward, up))});
}

std::set<std::string> places(const InWay& w, bool planned_ones) {
  std::set<std::string> ids;
  for (const BoneInWay& row : w.rows) {
    if (row.planned == planned_ones)
      ids.insert(row.part.site.id + (row.part.site.side.empty() ? "" : "_" + row.part.site.side));
  }
  return ids;
}

/// What must be listed for an upper jaw 5 mm forward and 3 mm up.
void check_advanced_and_impacted(const InWay& w) {
  const auto wedge = places(w, true), contact = places(w, false);
  for (const char* id : {"piriform_rim_right", "piriform_rim_left", "buttress_right", "buttress_left"}) {
    CHECK_MESSAGE(wedge.count(id) == 1, id);
  }
  for (const char* id :
       {"septum", "lateral_nasal_wall_right", "lateral_nasal_wall_left", "palatine_bone_right", "palatine_bone_left"}) {
    CHECK_MESSAGE(contact.count(id) == 1, id);
    CHECK_MESSAGE(wedge.count(id) == 0, id);
  }
  double volume = 0;
  for (const BoneInWay& row : w.rows) volume += *row.part.overlap.volume_mm3;
  CHECK(volume == Approx(*w.pairs[0].result.overlap_volume_mm3).epsilon(1e-6));
}

/// The bones of a case seen by another scanner: every vertex off by up to `noise`, bodies under the same names.
Case made_noisy(const Case& c, double noise) {
  Case noisy = c;
  shapes::Random random(7);
  for (Body& body : noisy.bodies) {
    if (!is_upper_bone(body.name)) continue;
    Mesh mesh = body.surface->mesh();
    for (Vec3f& p : mesh.positions) p += random.point(noise).cast<float>();
    body = make_body(body.name, Surface::make(std::move(mesh)));
  }
  noisy.recipe.clear();
  return noisy;
}

/// The bones from distances, off by waves up to `noise`: no vertex is where one was, and no recipe tells of them.
Case meshed_anew(const Case& c, double noise) {
  Case anew = c;
  for (Body& body : anew.bodies) {
    if (!is_upper_bone(body.name)) continue;
    constexpr double kStep = 0.7;
    const Surface& whole = *body.surface;
    const Box box(whole.box().min() - Vec3::Constant(2 * kStep), whole.box().max() + Vec3::Constant(2 * kStep));
    Mesh again = level_mesh(
        [&](const Vec3& p) {
          SignedDistance found;
          const double wave = std::sin(5.1 * p.x() + 1.3 * p.y()) + std::sin(4.7 * p.y() + 2.1 * p.z()) +
                              std::sin(5.9 * p.z() + 1.7 * p.x());
          return (signed_distance(whole, p, 100, found) ? found.distance_mm : 100.0) + noise / 3 * wave;
        },
        box, kStep);
    body = make_body(body.name, Surface::make(std::move(again)));
  }
  anew.recipe.clear();
  return anew;
}

}  // namespace

TEST_CASE("an upper jaw forward and up: the wedge is planned, septum, side walls and palatine bone are contact") {
  const InWay w = in_way(upper_plan(5, 3));
  check_advanced_and_impacted(w);
  for (const BoneInWay& row : w.rows) {
    CHECK(row.part.thickness_mm == Approx(2.3).epsilon(1e-3));  // 3 mm up less the saw's 0.7
    if (row.part.site.id != "palatine_bone") continue;
    REQUIRE_FALSE(row.touches.empty());
    CHECK(row.touches.front().words.find("descending palatine artery") != std::string::npos);
  }
  {  // gaps: the faces overlap by as much, the rims step forward by as much
    for (const PlateGap& gap : plate_gaps(w.cut, &w.cut.plans[0], w.poses)) {
      REQUIRE(gap.facing);
      CHECK(gap.gap_mm == Approx(-2.3).epsilon(0.02));
      if (gap.site.id.rfind("piriform", 0) == 0) CHECK(gap.step_mm == Approx(5).epsilon(0.15));
      CHECK(gap.reference_screw->tip_to_root_mm.has_value());
    }
  }
}

TEST_CASE("on a skull alike on both sides as much is in the way right and left, and of the septum all that it has") {
  const InWay w = in_way(upper_plan(5, 3));
  std::map<std::string, double> right, left;
  double septum = 0;
  for (const BoneInWay& row : w.rows) {
    const BoneSite& site = row.part.site;
    const double volume = *row.part.overlap.volume_mm3;
    if (site.side == "right") right[site.id] += volume;
    if (site.side == "left") left[site.id] += volume;
    if (site.id == "septum") septum += volume;
  }
  REQUIRE(right.size() >= 6);
  for (const auto& here : right) {
    REQUIRE_MESSAGE(left.count(here.first) == 1, here.first);
    CHECK_MESSAGE(left[here.first] == Approx(here.second).epsilon(0.02).scale(100), here.first);  // 2 % and 2 mm3
  }
  // The septum stands alone: one of the engine's regions, whose volume is exact, is all of it.
  const auto& regions = w.pairs[0].result.regions;
  const auto alone =
      std::find_if(regions.begin(), regions.end(), [](const OverlapRegion& r) { return std::abs(r.at.x()) < 1; });
  REQUIRE(alone != regions.end());
  CHECK(septum == Approx(*alone->volume_mm3).epsilon(0.01));
}

TEST_CASE("sawn and not moved, every plate site has the saw's gap and no step") {
  // Of both builds of face: in one the inner plate of a split runs on into the outer wall without an edge.
  for (const char* sample : {"class3", "class2_div1"}) {
    CAPTURE(sample);
    Case c = case_from_sample(sample, std::nullopt, 20000, true).value();
    Plan plan;
    plan.name = "A";
    for (const CutKind kind : {CutKind::lefort1, CutKind::split_right, CutKind::split_left, CutKind::chin})
      plan.entries.push_back(cut_entry(cut_of(kind)));
    c.plans.push_back(plan);
    const Case cut = made(c);
    const auto gaps = plate_gaps(cut, &cut.plans[0], {});
    CHECK(gaps.size() == 8);
    for (const PlateGap& gap : gaps) {
      CAPTURE(gap.site.id);
      REQUIRE(gap.facing);
      // Where the outer plate is thinner than the split goes deep, the saw comes out on a slant: more along the bone.
      const bool slant = gap.site.id.rfind("split", 0) == 0;
      CHECK(gap.gap_mm > 0.67);
      CHECK(gap.gap_mm < (slant ? 1.4 : 0.73));
      CHECK(std::abs(gap.step_mm) < (slant ? 0.9 : 0.5));
      // Twelve below the molars' contact the screw of a split would meet the roots; the plate goes lower.
      if (!slant) continue;
      for (const auto& screw : {gap.reference_screw, gap.other_screw}) CHECK(*screw->path_to_root_mm >= 1);
      const auto canal = from_mandibular_canal(points_at(cut, {}), gap.site.id == "split_right" ? "right" : "left",
                                               {gap.other_screw->entry, gap.other_screw->tip});
      CHECK(*canal >= 1);
    }
  }
}

TEST_CASE("an upper jaw set back meets the pterygoid plates with its tuberosities") {
  const InWay w = in_way(upper_plan(-4, 0));
  const auto contact = places(w, false);
  CHECK(contact.count("pterygoid_right") == 1);
  CHECK(contact.count("pterygoid_left") == 1);
  CHECK(places(w, true).empty());
  for (const BoneInWay& row : w.rows) {
    CHECK(row.trimmed == "maxilla");
    CHECK(row.part.site.words.find("tuberosity against the pterygoid plate") != std::string::npos);
    CHECK(row.part.thickness_mm == Approx(3.3).epsilon(1e-3));
  }
}

TEST_CASE("after the previewed removal with 0.5 mm nothing is left") {
  // The wedge of a whole upper jaw takes seconds: with INTERCUSP_REMOVAL set, in tests/long.sh.
  const bool whole = std::getenv("INTERCUSP_REMOVAL") != nullptr;
  const InWay w = in_way(whole ? upper_plan(5, 3) : upper_plan(-4, 0));
  const auto trimmed = trim_bones(w.cut, w.poses, w.rows, 0.5, whole ? 0.4 : 0.7);
  REQUIRE_MESSAGE(trimmed.ok(), (trimmed.ok() ? "" : trimmed.error().sentence()));
  REQUIRE(trimmed.value().size() == 1);
  const Removal& removal = trimmed.value()[0].removal;
  CHECK(trimmed.value()[0].body == (whole ? "upper_bone_above" : "maxilla"));
  CHECK(removal.left_deepest_mm == 0);
  CHECK(removal.least_gap_mm > 0.25);  // 0.5 is asked for; edges finer than the grid of 0.4 or 0.7 come nearer
  CHECK(removal.removed_mm3 > *w.pairs[0].result.overlap_volume_mm3);
}

TEST_CASE("the same on a noisy surface of unknown origin") {
  const Case c = made_noisy(upper_plan(5, 3), 0.05);
  check_advanced_and_impacted(in_way(c));
}

TEST_CASE("the same on a skull meshed anew, with noise, and nothing is left after removal") {
  // Tens of seconds: with INTERCUSP_REMOVAL set, in tests/long.sh.
  if (!std::getenv("INTERCUSP_REMOVAL")) return;
  Case c;
  SUBCASE("of every vertex for itself") {
    c = made_noisy(meshed_anew(upper_plan(5, 3), 0), 0.03);
  }
  SUBCASE("alike over a millimetre, as in a surface from CT") {
    c = meshed_anew(upper_plan(5, 3), 0.03);
  }
  const InWay w = in_way(c);
  check_advanced_and_impacted(w);
  const auto trimmed = trim_bones(w.cut, w.poses, w.rows, 0.5);
  REQUIRE_MESSAGE(trimmed.ok(), (trimmed.ok() ? "" : trimmed.error().sentence()));
  for (const TrimmedBone& bone : trimmed.value()) CHECK(bone.removal.left_deepest_mm == 0);
}

TEST_CASE("the sheet says what the case measures, on one page, the same bytes each time") {
  Case c = upper_plan(5, 3);
  const auto sheet = make_sheet(c, "A", {"", "2026-02-21"});
  REQUIRE_MESSAGE(sheet.ok(), (sheet.ok() ? "" : sheet.error().sentence()));
  const auto json = sheet_json(sheet.value());
  CHECK(json["movements"][0] == "Upper jaw: 5.0 mm forward, 3.0 mm up.");
  // What must be seen first: a contact that nobody asked for where it runs into a vessel, before those of bone alone.
  const auto& warnings = sheet.value().warnings;
  REQUIRE(warnings.size() >= 2);
  CHECK(warnings.front().find("MEETS the") != std::string::npos);
  CHECK(json["warnings"].size() == warnings.size());
  const auto told = [&](const char* words) {
    return std::any_of(warnings.begin(), warnings.end(),
                       [&](const std::string& line) { return line.find(words) != std::string::npos; });
  };
  CHECK(told("CONTACT: "));
  CHECK(!told("Planned removal: right piriform rim"));
  const InWay w = in_way(c);
  const auto& bone = sheet.value().tables[2];
  REQUIRE(bone.rows.size() >= 6);
  char deepest[16];
  std::snprintf(deepest, sizeof deepest, "%.2f", w.rows[0].part.overlap.deepest_mm);
  // The wedge of the plan first and whole, then the deepest of what nobody asked for.
  const std::size_t asked = places(w, true).size();
  REQUIRE(bone.rows.size() > asked);
  for (std::size_t i = 0; i < asked; ++i) CHECK(bone.rows[i][1] == "planned");
  CHECK(bone.rows[asked][1] == "CONTACT");
  CHECK(bone.rows[asked][2] == deepest);
  // An advance of 5 hides nothing of an impaction of 3.
  const auto& vertical = sheet.value().tables[6];
  CHECK(vertical.rows.size() > 2);
  for (const auto& row : vertical.rows) CHECK(row[3] == "3.00 up");

  const auto pdf = sheet_pdf(sheet.value());
  REQUIRE(pdf.ok());
  const std::string text(pdf.value().begin(), pdf.value().end());
  CHECK(text.rfind("%PDF-1.", 0) == 0);
  CHECK(text.find("/Count 1") != std::string::npos);
  CHECK(text.find("(Upper jaw: 5.0 mm forward, 3.0 mm up.) Tj") != std::string::npos);
  CHECK(text.find("nobody yet") != std::string::npos);
  CHECK(pdf.value() == sheet_pdf(sheet.value()).value());
  TheatreSheet checked = sheet.value();
  checked.checked_by = "A. Checker";
  const auto named = sheet_pdf(checked).value();
  CHECK(std::string(named.begin(), named.end()).find("Checked by: A. Checker") != std::string::npos);
  CHECK_FALSE(make_sheet(c, "B", {}).ok());
}

TEST_CASE("teeth that pass through each other on the way are found though both ends are free") {
  Case c = small_case();
  c.bodies[0] = make_body("upper_arch", Surface::make(shapes::box({-2, 0, 0}, {2, 2, 3})));
  c.bodies[1] = make_body("lower_arch", Surface::make(shapes::box({-3, -1, -4}, {3, 3, -2})));
  c.plans.push_back({"A", {moved("upper", upper_move(0, -2.8))}, "upper"});
  CHECK(overlaps_on_the_way(c, c.plans[0]).empty());  // deepest where it ends
  c.plans[0].entries = {moved("upper", upper_move(8, 0)), moved("upper", upper_move(0, -3)),
                        moved("upper", upper_move(-20, 0))};
  const auto found = overlaps_on_the_way(c, c.plans[0]);
  REQUIRE(found.size() == 1);
  CHECK(found[0].entry == 2);
  CHECK(std::abs(found[0].deepest_mm - 1) <= 0.25);  // 3 mm down through a gap of 2
  CHECK(found[0].deepest_at_ends_mm == 0);
  CHECK(found[0].share == Approx(0.4).epsilon(0.2));
  const auto poses = segment_poses(c, &c.plans[0], Moment::planned).value();
  const auto listed = contact_report(c, poses, {}, &c.plans[0])["on_the_way"];
  REQUIRE(listed.size() == 1);
  CHECK(listed[0]["step"] == 3);
  CHECK(listed[0]["deepest_mm"] == found[0].deepest_mm);
  CHECK(listed[0]["teeth"][0].get<int>() / 10 < 3);
  CHECK(listed[0]["teeth"][1].get<int>() / 10 > 2);
  CHECK(contact_report(c, poses, {}, nullptr).count("on_the_way") == 0);
}

TEST_CASE("teeth that pass through each other as planned stand first on the sheet, teeth that touch do not") {
  Case c = small_case();
  c.bodies[0] = make_body("upper_arch", Surface::make(shapes::box({-2, 0, 0}, {2, 2, 3})));
  c.bodies[1] = make_body("lower_arch", Surface::make(shapes::box({-3, -1, -4}, {3, 3, -2})));
  c.plans.push_back({"A", {moved("upper", upper_move(0, -3))}, "upper"});
  const auto deep = make_sheet(c, "A", {"", "2026-02-21"});
  REQUIRE(deep.ok());
  CHECK(deep.value().warnings.front().rfind("TEETH pass through each other by up to 1.00 mm as planned", 0) == 0);
  c.plans[0].entries = {moved("upper", upper_move(0, -2.05))};
  const auto touching = make_sheet(c, "A", {"", "2026-02-21"});
  REQUIRE(touching.ok());
  CHECK(touching.value().warnings.front().rfind("Nothing measured here stands out", 0) == 0);
}

TEST_CASE("the sheet's bytes are those of every build") {
  Case c = small_case();
  c.bodies[0] = make_body("upper_arch", Surface::make(shapes::box({-30, -2, -1}, {30, 40, 8})));
  c.bodies[1] = make_body("lower_arch", Surface::make(shapes::box({-28, 1, -9}, {28, 42, -1.5})));
  c.landmarks["N"] = {Vec3(0.25, 4, 81), true};
  Movement m = upper_move(3.3, 1.7);
  m.pitch_deg = 2.5;
  m.yaw_deg = -1;
  c.plans.push_back({"A", {moved("upper", m)}, "upper"});
  const auto sheet = make_sheet(c, "A", {"A. Checker", "2026-02-21"});
  REQUIRE(sheet.ok());
  const auto pdf = sheet_pdf(sheet.value());
  REQUIRE(pdf.ok());
  CHECK(sha256_hex(pdf.value().data(), pdf.value().size()) ==
        "2ecdc1d6a81d9f0c7083b25cd5fe001dfad6b2a22ef1bb4d996e0c2ada442869");
}
