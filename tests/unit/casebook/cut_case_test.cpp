#include "casebook/cut_case.h"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "casebook/bone_case.h"
#include "casebook/case_file.h"
#include "casebook/case_json.h"
#include "casebook/closing.h"
#include "casebook/condyles.h"
#include "casebook/digest.h"
#include "casebook/document.h"

using namespace intercusp;
using namespace intercusp::test;
using doctest::Approx;

namespace {

double volume(const Case& c, const std::string& body) {
  REQUIRE_MESSAGE(c.find_body(body), body);
  const Body& b = *c.find_body(body);
  CHECK_MESSAGE(b.surface->closed(), body);
  return signed_volume(b.surface->mesh());
}

std::vector<PlanEntry> every_cut(double saw) {
  std::vector<PlanEntry> entries;
  for (const CutKind kind : {CutKind::lefort1, CutKind::split_right, CutKind::split_left, CutKind::chin}) {
    entries.push_back(cut_entry(cut_of(kind, {{"saw_mm", saw}})));
  }
  return entries;
}

std::string refused(const std::vector<PlanEntry>& entries) {
  const Case c = planned(entries);
  const auto cut = with_cuts(c, &c.plans[0]);
  REQUIRE_FALSE(cut.ok());
  return cut.error().sentence();
}

}  // namespace

TEST_CASE("every cut of surgery leaves closed pieces whose volumes add up, and the saw takes its share") {
  const Case& whole = sample_with_bone();
  const Case thin = made(planned(every_cut(0)));
  const double upper = volume(whole, "upper_bone"), lower = volume(whole, "lower_bone");
  const auto lower_sum = [](const Case& c) {
    return volume(c, "mandible") + volume(c, "ramus_right") + volume(c, "ramus_left") + volume(c, "chin");
  };
  CHECK(volume(thin, "maxilla") + volume(thin, "upper_bone_above") == Approx(upper).epsilon(1e-6));
  CHECK(lower_sum(thin) == Approx(lower).epsilon(1e-6));
  const Case sawn = made(planned(every_cut(0.8)));
  const double upper_loss = upper - volume(sawn, "maxilla") - volume(sawn, "upper_bone_above");
  // The section of the upper jaw holds several hundred mm2; twice the saw takes twice as much.
  CHECK(upper_loss > 0.8 * 300);
  const Case thick = made(planned(every_cut(1.6)));
  CHECK(upper - volume(thick, "maxilla") - volume(thick, "upper_bone_above") == Approx(2 * upper_loss).epsilon(0.1));
  CHECK(lower - lower_sum(thick) == Approx(2 * (lower - lower_sum(sawn))).epsilon(0.1));
}

TEST_CASE("segments after the cuts, and what goes with them") {
  const Case c = made(planned(every_cut(0.7)));
  const auto segment = [&](const char* body) { return segment_of_body(c, *c.find_body(body)); };
  CHECK(segment("upper_arch") == "maxilla");
  CHECK(segment("maxilla") == "maxilla");
  CHECK(segment("upper_bone_above") == "cranium");
  CHECK(segment("lower_arch") == "mandible");
  CHECK(segment("ramus_left") == "ramus_left");
  CHECK(segment_of_landmark(c, "ANS") == "maxilla");
  CHECK(segment_of_landmark(c, "16.apex") == "maxilla");
  CHECK(segment_of_landmark(c, "condyle_centre_right") == "ramus_right");
  CHECK(segment_of_landmark(c, "Go_left") == "ramus_left");
  CHECK(segment_of_landmark(c, "Me") == "chin");
  CHECK(segment_of_landmark(c, "B") == "mandible");
  CHECK(segment_of_landmark(c, "N") == "cranium");
  CHECK(movable_segments(c) ==
        std::vector<std::string>{"maxilla", "lower", "mandible", "ramus_right", "ramus_left", "chin"});
  CHECK(can_move(c, "maxilla").ok());
  const Status held = can_move(sample_with_bone(), "maxilla");
  REQUIRE_FALSE(held.ok());
  CHECK(held.error().remedy.find("cut first") != std::string::npos);
  CHECK_FALSE(can_move(sample_with_bone(), "ramus_left").ok());
  // Uncut, the mandible is one.
  CHECK(segment_of_body(sample_with_bone(), *sample_with_bone().find_body("lower_bone")) == "lower");
}

TEST_CASE("a cut stays where it was made: the pieces tell its distances as the whole bone did") {
  const Case whole = planned(every_cut(0.7));
  const Case cut = made(whole);
  for (const PlanEntry& entry : whole.plans[0].entries) {
    const auto before = place_cut(whole, entry.cut).value().clearances,
               after = place_cut(cut, entry.cut).value().clearances;
    REQUIRE(before.size() == after.size());
    for (std::size_t i = 0; i < before.size(); ++i)
      CHECK(before[i].distance_mm == Approx(after[i].distance_mm).epsilon(1e-9));
  }
}

TEST_CASE("two and three pieces part bone, arch and landmarks") {
  const Case two = made(planned({cut_entry(cut_of(CutKind::lefort1)), cut_entry(cut_of(CutKind::pieces))}));
  CHECK(volume(two, "maxilla_right") == Approx(volume(two, "maxilla_left")).epsilon(0.05));
  CHECK(segment_of_landmark(two, "11.incisal_edge_mid") == "maxilla_right");
  CHECK(segment_of_landmark(two, "21.incisal_edge_mid") == "maxilla_left");
  const Case three =
      made(planned({cut_entry(cut_of(CutKind::lefort1)), cut_entry(cut_of(CutKind::pieces, {{"count", 3}}))}));
  CHECK(volume(three, "maxilla_front") > 500);
  CHECK(segment_of_landmark(three, "13.cusp_tip") == "maxilla_front");
  CHECK(segment_of_landmark(three, "14.buccal_cusp") == "maxilla_right");
  CHECK(segment_of_body(three, *three.find_body("upper_arch_left")) == "maxilla_left");
  // The arch is parted between the teeth without loss.
  const double arch = volume(sample_with_bone(), "upper_arch");
  CHECK(volume(three, "upper_arch_right") + volume(three, "upper_arch_left") + volume(three, "upper_arch_front") ==
        Approx(arch).epsilon(1e-6));
}

TEST_CASE("cuts that cannot be are refused with words, and change nothing") {
  CHECK(refused({cut_entry(cut_of(CutKind::pieces))}).find("Cut first") != std::string::npos);
  CHECK(refused({cut_entry(cut_of(CutKind::chin)), cut_entry(cut_of(CutKind::chin))}).find("twice") !=
        std::string::npos);
  CHECK(refused({cut_entry(cut_of(CutKind::chin, {{"level_mm", 20}}))}).find("misses lower_bone") != std::string::npos);
  CHECK(refused({cut_entry(cut_of(CutKind::lefort1, {{"level_right_mm", -4}, {"level_left_mm", -4}}))})
            .find("meets a root: 13.") != std::string::npos);
  CHECK(refused({cut_entry(cut_of(CutKind::chin, {{"level_mm", 12}}))}).find("sliver") != std::string::npos);
}

TEST_CASE("poses: the chin goes with the mandible, the rami stay with their condyles, maxilla names its pieces") {
  std::vector<PlanEntry> entries = every_cut(0.7);
  Movement advance;
  advance.forward_mm = 5;
  Movement chin;
  chin.forward_mm = 3;
  chin.up_mm = 1;
  entries.push_back(moved("mandible", advance));
  entries.push_back(moved("chin", chin));
  const Case c = made(planned(entries));
  const auto poses = segment_poses(c, &c.plans[0], Moment::planned);
  REQUIRE(poses.ok());
  const PointMap before = points_at(c, {}), after = points_at(c, poses.value());
  const auto by = [&](const char* name) { return Vec3(after.at(name) - before.at(name)); };
  CHECK((by("46.buccal_groove") - Vec3(0, -5, 0)).norm() < 1e-9);
  CHECK((by("Me") - Vec3(0, -8, 1)).norm() < 1e-9);
  CHECK(by("condyle_centre_left").norm() == 0);
  CHECK(by("ANS").norm() == 0);
  Movement turn;
  turn.pitch_deg = 2;
  const Case pieces = made(planned({cut_entry(cut_of(CutKind::lefort1)), cut_entry(cut_of(CutKind::pieces)),
                                    moved("maxilla", turn, "ANS"), moved("maxilla_left", advance)}));
  const auto parted = segment_poses(pieces, &pieces.plans[0], Moment::planned);
  REQUIRE(parted.ok());
  const PointMap now = points_at(pieces, parted.value());
  // By hand: 2 degrees front up let a point behind ANS down by its distance times sin 2, and one above it back by its
  // height times sin 2.
  const double apart = before.at("PNS").y() - before.at("ANS").y();
  const double above = before.at("PNS").z() - before.at("ANS").z();
  const double side = segment_of_landmark(pieces, "PNS") == "maxilla_left" ? 5 : 0;
  const double sine = std::sin(radians(2)), cosine = std::cos(radians(2));
  CHECK(now.at("PNS").z() - before.at("ANS").z() == Approx(above * cosine - apart * sine));
  CHECK(now.at("PNS").y() - before.at("ANS").y() == Approx(apart * cosine + above * sine - side));
}

TEST_CASE("staging: the intermediate position holds the first jaw, and closings before the lower jaw moves") {
  std::vector<PlanEntry> entries = every_cut(0.7);
  Movement up;
  up.up_mm = 3;
  Movement advance;
  advance.forward_mm = 5;
  Closing closing;
  closing.open_deg = -2;
  entries.push_back(moved("maxilla", up));
  entries.push_back(closing_entry(closing));
  entries.push_back(moved("mandible", advance));
  closing.open_deg = 1;
  entries.push_back(closing_entry(closing));
  Case plan = planned(entries);
  Case c = made(plan);
  const auto at = [&](const char* name, Moment moment) {
    const auto poses = segment_poses(c, &c.plans[0], moment);
    REQUIRE(poses.ok());
    return points_at(c, poses.value()).at(name);
  };
  const PointMap rest = points_at(c, {});
  const HingeAxis axis = condylar_axis(rest).value();
  CHECK((at("ANS", Moment::intermediate) - rest.at("ANS") - Vec3(0, 0, 3)).norm() < 1e-9);
  CHECK((at("B", Moment::intermediate) - axis.opened(-2) * rest.at("B")).norm() < 1e-9);
  c.plans[0].first_jaw = "lower";
  CHECK((at("ANS", Moment::intermediate) - rest.at("ANS")).norm() < 1e-9);
  const Vec3 lower = axis.opened(1) * (axis.opened(-2) * rest.at("B") + Vec3(0, -5, 0));
  CHECK((at("B", Moment::intermediate) - lower).norm() < 1e-9);
  CHECK((at("B", Moment::planned) - lower).norm() < 1e-9);
}

TEST_CASE("plans with cuts and closings survive the file and the link; the digest sees every setting") {
  std::vector<PlanEntry> entries = every_cut(0.7);
  Closing closing;
  closing.open_deg = -1.25;
  closing.until = "vertical";
  closing.until_mm = 3;
  entries.push_back(closing_entry(closing));
  const Case c = planned(entries);
  const auto bytes = write_case(c);
  const auto again = read_case(bytes.data(), bytes.size());
  REQUIRE(again.ok());
  CHECK(plans_to_json(again.value().plans) == plans_to_json(c.plans));
  CHECK(write_case(again.value()) == bytes);
  CHECK(again.value().plans[0].entries[1].cut.setting("plate_mm") == 3);
  const auto link = parse_recipe_link(recipe_link(c, nlohmann::json::object()));
  REQUIRE(link.ok());
  CHECK(plans_to_json(link.value().plans) == plans_to_json(c.plans));
  Case other = c;
  other.plans[0].entries[0].cut.settings["slope_left_deg"] = 1;
  CHECK(plan_digest(other, other.plans[0]) != plan_digest(c, c.plans[0]));
  auto damaged = plans_to_json(c.plans);
  damaged[0]["entries"][0]["settings"]["level_right_mm"] = 1000;
  CHECK_FALSE(plans_from_json(damaged).ok());
  damaged[0]["entries"][0]["cut"] = "lefort9";
  CHECK_FALSE(plans_from_json(damaged).ok());
}

TEST_CASE("undo brings the case back byte for byte, and the cache the same pieces") {
  Document document(sample_with_bone());
  const auto before = write_case(document.now());
  Case next = document.now();
  next.plans[0].entries = every_cut(0.7);
  document.change(next, "Cut");
  PieceCache cache;
  const auto first = with_cuts(document.now(), &document.now().plans[0], &cache);
  const auto second = with_cuts(document.now(), &document.now().plans[0], &cache);
  REQUIRE((first.ok() && second.ok()));
  CHECK(first.value().find_body("maxilla")->surface == second.value().find_body("maxilla")->surface);
  document.undo();
  CHECK(write_case(document.now()) == before);
}

TEST_CASE("closing ends at the first contact, at a vertical, or a splint's thickness before it") {
  Movement up;
  up.up_mm = 3;
  const Case c = made(planned({cut_entry(cut_of(CutKind::lefort1)), moved("maxilla", up)}));
  const auto poses = segment_poses(c, &c.plans[0], Moment::planned);
  REQUIRE(poses.ok());
  const auto gap_after = [&](const ClosingResult& result) {
    Case turned = c;
    turned.plans[0].entries.push_back(closing_entry(result.closing));
    const auto there = segment_poses(turned, &turned.plans[0], Moment::planned);
    const Body &a = *c.find_body("upper_arch"), &b = *c.find_body("lower_arch");
    return find_contact(*a.surface, pose_of_body(c, a, there.value()), *b.surface, pose_of_body(c, b, there.value()),
                        {})
        .minimum_distance_mm;
  };
  const auto contact = find_closing(c, poses.value(), {});
  REQUIRE_MESSAGE(contact.ok(), (contact.ok() ? "" : contact.error().sentence()));
  CHECK(contact.value().closing.open_deg < -1);
  CHECK(gap_after(contact.value()) > 0);
  CHECK(gap_after(contact.value()) <= 0.001);
  REQUIRE_FALSE(contact.value().first.empty());
  CHECK(contact.value().first[0].upper_tooth / 10 <= 2);
  CHECK(contact.value().first[0].lower_tooth / 10 >= 3);
  CHECK(-contact.value().chin_moved.y() > 1);  // impaction of 3 mm brings the chin forward
  ClosingGoal splint;
  splint.until = ClosingGoal::Until::splint;
  splint.mm = 1.5;
  const auto held = find_closing(c, poses.value(), splint);
  REQUIRE(held.ok());
  CHECK(gap_after(held.value()) == Approx(1.5).epsilon(1e-5));
  ClosingGoal vertical;
  vertical.until = ClosingGoal::Until::vertical;
  vertical.mm = 6;
  const auto open = find_closing(c, poses.value(), vertical);
  REQUIRE(open.ok());
  CHECK(open.value().closing.open_deg > contact.value().closing.open_deg);
  vertical.mm = -6;
  const auto too_far = find_closing(c, poses.value(), vertical);
  REQUIRE_FALSE(too_far.ok());
  CHECK(too_far.error().what.find("teeth meet before") != std::string::npos);
  const auto variants = closing_variants(c, poses.value(), {});
  REQUIRE(variants.size() == 3);
  // Published centres lie below the condyle: the chin comes forward less (J Craniofac Surg 2006;17:898-904).
  for (const ClosingVariant& variant : variants) {
    CHECK(-variant.result.chin_moved.y() < -contact.value().chin_moved.y());
  }
}

TEST_CASE("joints: a ramus let down by 1 mm reads 1 mm wider above, and its turn in words") {
  Movement down;
  down.up_mm = -1;
  Movement flare;
  flare.roll_deg = 3;
  std::vector<PlanEntry> entries = every_cut(0.7);
  entries.push_back(moved("ramus_right", down));
  entries.push_back(moved("ramus_left", flare));
  const Case c = made(planned(entries));
  const auto poses = segment_poses(c, &c.plans[0], Moment::planned);
  REQUIRE(poses.ok());
  const auto changes = condyle_changes(c, poses.value());
  REQUIRE(changes.size() == 2);
  CHECK((changes[0].shift - Vec3(0, 0, -1)).norm() < 1e-9);
  REQUIRE((changes[0].before.superior && changes[0].after.superior));
  CHECK(*changes[0].after.superior - *changes[0].before.superior == Approx(1).epsilon(1e-3));
  CHECK(changes[1].shift.norm() < 1e-9);  // a ramus turns about its condyle
  CHECK(changes[1].turn_deg == Approx(3));
  // Roll lets the patient's left side down: what lies below the condyle goes to the right, for a left ramus inwards.
  const double hanging = points_at(c, {}).at("condyle_centre_left").z() - points_at(c, {}).at("Go_left").z();
  const double across = points_at(c, {}).at("condyle_centre_left").x() - points_at(c, {}).at("Go_left").x();
  CHECK(changes[1].flare_mm ==
        Approx(-hanging * std::sin(radians(3)) + across * (1 - std::cos(radians(3)))).epsilon(1e-6));
}
