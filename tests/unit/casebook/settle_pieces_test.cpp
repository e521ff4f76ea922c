#include "occlusion/settle_pieces.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>

#include "anatomy/fixed_random.h"
#include "casebook/cut_case.h"
#include "casebook/recipe_link.h"
#include "casebook/settle_plan.h"

using namespace intercusp;

namespace {

Mesh roughened(Mesh mesh, std::uint64_t seed) {
  FixedRandom random(seed);
  for (Vec3f& p : mesh.positions) {
    for (int axis = 0; axis < 3; ++axis) p[axis] += static_cast<float>(random.between(-0.02, 0.02));
  }
  return mesh;
}

/// A sample as scans, each vertex off by up to 0.02 mm an axis, with a plan that parts the upper arch: in its true
/// bite.
Case parted_sample(const std::string& sample, int count, std::uint32_t triangles) {
  auto made = case_from_sample(sample, std::nullopt, triangles, false);
  REQUIRE(made.ok());
  Case c = std::move(made).value();
  std::uint64_t seed = 1;
  for (Body& body : c.bodies) body = make_body(body.name, Surface::make(roughened(body.surface->mesh(), seed++)));
  auto cut = make_osteotomy(CutKind::pieces, {{"count", static_cast<double>(count)}});
  REQUIRE(cut.ok());
  c.plans.push_back({"A", {cut_entry(cut.value())}, "upper"});
  return c;
}

Case cut_apart(const Case& c) {
  auto cut = with_cuts(c, &c.plans[0]);
  REQUIRE_MESSAGE(cut.ok(), (cut.ok() ? "" : cut.error().sentence()));
  return std::move(cut).value();
}

/// Up to `most_mm` and `most_deg`, any direction.
Movement random_movement(FixedRandom& random, double most_mm, double most_deg) {
  Vec3 shift, turn;
  do {
    for (int i = 0; i < 3; ++i) shift[i] = random.between(-1, 1);
  } while (shift.norm() > 1);
  do {
    for (int i = 0; i < 3; ++i) turn[i] = random.between(-1, 1);
  } while (turn.norm() > 1);
  Movement m;
  m.forward_mm = most_mm * shift[0], m.up_mm = most_mm * shift[1], m.left_mm = most_mm * shift[2];
  m.pitch_deg = most_deg * turn[0], m.roll_deg = most_deg * turn[1], m.yaw_deg = most_deg * turn[2];
  return m;
}

std::string pivot_of_piece(const std::string& segment) {
  return segment == "maxilla_right"  ? "16.mesiobuccal_cusp"
         : segment == "maxilla_left" ? "26.mesiobuccal_cusp"
                                     : "11.incisal_edge_mid";
}

struct PieceMiss {
  double mm = 0, deg = 0;
};

/// How far a piece is from where `truth` has it: at the middle of its teeth.
PieceMiss missed(const Case& c, const std::string& segment, const Pose& there, const Pose& truth) {
  Vec3 middle = Vec3::Zero();
  double count = 0;
  for (const auto& [name, landmark] : c.landmarks) {
    if (segment_of_landmark(c, name) != segment || name.find("cusp") == std::string::npos) continue;
    middle += c.patient_from_scans * landmark.at;
    count += 1;
  }
  middle /= std::max(count, 1.0);
  const Mat3 turned = (there * truth.inverse()).linear();
  return {(there * middle - truth * middle).norm(), degrees(Eigen::AngleAxisd(turned).angle())};
}

SegmentPoses poses_after(const Case& c, const std::vector<PlanEntry>& entries) {
  Plan plan = c.plans[0];
  plan.entries.insert(plan.entries.end(), entries.begin(), entries.end());
  const auto poses = segment_poses(c, &plan, Moment::planned);
  REQUIRE(poses.ok());
  return poses.value();
}

/// What a planner would ask for whose target is the bite that the sample was built to.
SettleSettings asking_for(const Case& true_bite) {
  SettleSettings settings;
  const MeasureInput there = measure_input(true_bite, {});
  const auto read = [&](const char* id) { return find_measure(id)->measure(there); };
  settings.molar_quarters = read("molar_right").quarters.value_or(0);
  settings.canine_quarters = read("canine_right").quarters.value_or(0);
  const double overjet = read("overjet").value, overbite = read("overbite").value;
  settings.overjet_mm = {overjet - 1, overjet + 1};
  settings.overbite_mm = {overbite - 1, overbite + 1};
  return settings;
}

double median_of(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

int pieced_starts_asked_for() {
  const char* text = std::getenv("INTERCUSP_PIECED_STARTS");
  return text ? std::atoi(text) : 4;
}

/// An arch that is too narrow: the pieces of a sample moved towards each other, and that taken for the arch in one
/// piece. `back` are the motions that give the true bite.
struct NarrowArch {
  PiecedArch arch;
  PieceMotions back;
  double molars_mm = 0;  // what 16 and 26 must go apart
};

NarrowArch narrowed(const Case& c, double inwards_mm, double forward_mm, double yaw_deg, double roll_deg) {
  NarrowArch out;
  const SegmentPoses rest = segment_poses(c, nullptr, Moment::rest).value();
  out.arch.input = measure_input(c, rest);
  for (const std::string& segment : upper_pieces(c)) {
    const Body& body = *c.find_body("upper_arch" + segment.substr(7));
    const double side = segment == "maxilla_right" ? 1 : segment == "maxilla_left" ? -1 : 0;  // to the left, inwards
    Movement m;
    m.left_mm = side * inwards_mm, m.forward_mm = side * forward_mm, m.yaw_deg = side * yaw_deg;
    m.roll_deg = side * roll_deg;
    const Vec3 pivot = out.arch.input.points.at(pivot_of_piece(segment));
    const Pose in = pose_of(m, pivot);
    out.back.push_back(in.inverse());
    for (auto& [name, at] : out.arch.input.points) {
      if (segment_of_landmark(c, name) != segment) continue;
      out.arch.piece_of[name] = out.arch.pieces.size();
      at = in * at;
    }
    out.arch.pieces.push_back({segment, {body.surface, in * pose_of_body(c, body, rest)}, Pose::Identity()});
  }
  const PointMap there = points_at(c, rest);
  const auto width = [](const PointMap& points) {
    return (points.at("16.mesiobuccal_cusp") - points.at("26.mesiobuccal_cusp")).norm();
  };
  out.molars_mm = width(there) - width(out.arch.input.points);
  return out;
}

}  // namespace

// Targets: median 0.05 mm and 0.25 degrees (0.02 and 0.18 of 12; a row of four teeth is held only weakly against
// tipping about its own length), the front piece 0.1 mm and 0.3 degrees. INTERCUSP_PIECED_STARTS in the environment
// asks for more starts (tests/long.sh: 60). The arch moved as one leaves the pieces where they stand against each
// other, so it cannot do this.
TEST_CASE("pieces of an upper arch find their bite again, which the arch as one does not") {
  const int starts = pieced_starts_asked_for();
  const std::vector<std::pair<std::string, int>> samples = {{"class1", 2},      {"class1", 3},    {"class3", 2},
                                                            {"class2_div1", 3}, {"open_bite", 2}, {"crossbite", 3}};
  std::vector<double> mm, deg, front_mm, front_deg, whole_mm;
  int found_all = 0;
  for (int i = 0; i < starts; ++i) {
    const auto& [sample, count] = samples[static_cast<std::size_t>(i) % samples.size()];
    Case c = parted_sample(sample, count, 100000);
    const Case pieces = cut_apart(c);
    const SettleSettings wanted = asking_for(c);
    FixedRandom random(static_cast<std::uint64_t>(i) + 11);
    std::vector<PlanEntry> away;
    for (const std::string& segment : upper_pieces(pieces))
      away.push_back({segment, random_movement(random, 3, 4), pivot_of_piece(segment)});
    Case moved = pieces;
    moved.plans[0].entries.insert(moved.plans[0].entries.end(), away.begin(), away.end());
    const auto offers = settle_offers(moved, &moved.plans[0], {"maxilla", true}, wanted);
    REQUIRE_MESSAGE(offers.ok(), (offers.ok() ? "" : offers.error().sentence()));
    const auto whole = settle_offers(moved, &moved.plans[0], {"maxilla", false}, wanted);
    REQUIRE(whole.ok());
    const SegmentPoses back = poses_after(moved, offers.value()[0].entries);
    const SegmentPoses as_one = poses_after(moved, whole.value()[0].entries);
    bool all = true;
    for (const std::string& segment : upper_pieces(pieces)) {
      const PieceMiss miss = missed(pieces, segment, pose_of_segment(back, segment), Pose::Identity());
      const bool front = segment == "maxilla_front";
      (front ? front_mm : mm).push_back(miss.mm);
      (front ? front_deg : deg).push_back(miss.deg);
      all = all && miss.mm < 0.3 && miss.deg < 1;
      if (!(miss.mm < 0.3 && miss.deg < 1))
        MESSAGE(sample << " in " << count << ", start " << i << ", " << segment << ": " << miss.mm << " mm, "
                       << miss.deg << " degrees");
      whole_mm.push_back(missed(pieces, segment, pose_of_segment(as_one, segment), Pose::Identity()).mm);
    }
    found_all += all ? 1 : 0;
  }
  MESSAGE("pieces: median " << median_of(mm) << " mm, " << median_of(deg) << " degrees; front " << median_of(front_mm)
                            << " mm, " << median_of(front_deg) << " degrees; found " << found_all << " of " << starts
                            << "; as one " << median_of(whole_mm) << " mm");
  CHECK(median_of(mm) <= 0.05);
  CHECK(median_of(deg) <= 0.25);
  CHECK(median_of(front_mm) <= 0.1);
  CHECK(median_of(front_deg) <= 0.3);
  CHECK(found_all >= 0.95 * starts);
  CHECK(median_of(whole_mm) > 0.5);
}

TEST_CASE("a narrow upper arch in pieces is widened into its bite, and no further than allowed without a word") {
  for (const int count : {2, 3}) {
    const Case pieces = cut_apart(parted_sample("class1", count, 60000));
    const NarrowArch narrow = narrowed(pieces, 1.4, 0.3, -1.5, 1.5);
    REQUIRE(narrow.molars_mm > 2);
    const auto found = settle_pieces(narrow.arch, {});
    REQUIRE_MESSAGE(found.ok(), (found.ok() ? "" : found.error().sentence()));
    const SettleSolution& best = found.value()[0];
    REQUIRE(best.pieces.size() == static_cast<std::size_t>(count));
    for (std::size_t i = 0; i < best.pieces.size(); ++i) {
      const PieceMiss miss = missed(pieces, best.pieces[i].name, best.pieces[i].motion, narrow.back[i]);
      MESSAGE(best.pieces[i].name << ": " << miss.mm << " mm, " << miss.deg << " degrees");
      CHECK(miss.mm < 0.15);
      CHECK(miss.deg < 0.5);
    }
    CHECK(std::abs(*best.molar_expansion_mm - narrow.molars_mm) < 0.15);
    CHECK(best.cost.expansion == 0);
    // A little more than allowed is needed: it is done, and said. Much more: it is not done, and less seats.
    for (const double beyond : {0.4, 1.8}) {
      SettleSettings tight;
      tight.pieces.molar_expansion_mm[1] = narrow.molars_mm - beyond;
      const auto held = settle_pieces(narrow.arch, tight);
      REQUIRE(held.ok());
      const SettleSolution& less = held.value()[0];
      const double over = *less.molar_expansion_mm - tight.pieces.molar_expansion_mm[1];
      MESSAGE("needs " << narrow.molars_mm << " mm, " << beyond << " too much: " << *less.molar_expansion_mm
                       << " mm, seated " << less.seated_share << " against " << best.seated_share);
      CHECK(less.cost.expansion == doctest::Approx(std::max(over, 0.0)).epsilon(1e-9));
      if (beyond < 1)
        CHECK(over > 0.05);
      else
        CHECK(less.seated_share < 0.8 * best.seated_share);
    }
  }
}

TEST_CASE("the entries of a choice lead to the poses that were found, and the answer is the same each time") {
  Case c = cut_apart(parted_sample("class1", 3, 20000));
  Movement away;
  away.forward_mm = -2, away.yaw_deg = 3;
  Movement out;
  out.left_mm = 1.5, out.roll_deg = -2;
  c.plans[0].entries.push_back({"maxilla", away, ""});
  c.plans[0].entries.push_back({"maxilla_left", out, "26.mesiobuccal_cusp"});
  const SegmentPoses before = segment_poses(c, &c.plans[0], Moment::planned).value();
  const auto offers = settle_offers(c, &c.plans[0], {"maxilla", true}, {});
  REQUIRE_MESSAGE(offers.ok(), (offers.ok() ? "" : offers.error().sentence()));
  for (const SettleOffer& offer : offers.value()) {
    REQUIRE(offer.entries.size() == 4);
    CHECK(offer.entries[0].segment == "maxilla");
    const SegmentPoses after = poses_after(c, offer.entries);
    for (const SeatedPiece& piece : offer.solution.pieces) {
      const Pose wanted = piece.motion * pose_of_segment(before, piece.name);
      CHECK((pose_of_segment(after, piece.name).matrix() - wanted.matrix()).cwiseAbs().maxCoeff() < 1e-9);
    }
    // What a measure reads on the planned case is what was promised; as if read from the report alone.
    const MeasureInput there = measure_input(c, after);
    CHECK(find_measure("overjet")->measure(there).value ==
          doctest::Approx(offer.solution.reading.at("overjet")).epsilon(1e-9));
    const auto width = [](const MeasureInput& in) { return find_measure("intermolar_upper")->measure(in).value; };
    const double rest = width(measure_input(c, segment_poses(c, nullptr, Moment::rest).value()));
    CHECK(width(there) - rest == doctest::Approx(*offer.solution.molar_expansion_mm).epsilon(1e-9));
  }
  const auto again = settle_offers(c, &c.plans[0], {"maxilla", true}, {});
  REQUIRE(again.ok());
  REQUIRE(again.value().size() == offers.value().size());
  CHECK(again.value()[0].solution.pieces[1].motion.matrix() == offers.value()[0].solution.pieces[1].motion.matrix());
  SettleSettings pinned;
  pinned.pinned["midline_upper_lower"] = 1;
  const auto moved = settle_offers(c, &c.plans[0], {"maxilla", true}, pinned);
  REQUIRE(moved.ok());
  CHECK(std::abs(moved.value()[0].solution.reading.at("midline_upper_lower") - 1) < 0.02);
  Progress progress;
  progress.cancel();
  CHECK(settle_offers(c, &c.plans[0], {"maxilla", true}, {}, progress).error().what == "cancelled");
  // The lower arch can be seated on a parted upper one, and the pieces as one.
  CHECK(settle_offers(c, &c.plans[0], {"lower", false}, {}).ok());
  CHECK(settle_offers(c, &c.plans[0], {"maxilla", false}, {}).value()[0].entries.size() == 1);
}

TEST_CASE("settling in pieces says what it lacks") {
  Case c = cut_apart(parted_sample("class1", 2, 20000));
  PiecedArch one;
  CHECK(settle_pieces(one, {}).error().what == "the upper jaw is in one piece");
  NarrowArch arch = narrowed(c, 0, 0, 0, 0);
  arch.arch.pieces[1].arch.surface.reset();
  CHECK(settle_pieces(arch.arch, {}).error().what == "the scan of maxilla_left is missing");
  NarrowArch unplaced = narrowed(c, 0, 0, 0, 0);
  unplaced.arch.input.points.erase("11.incisal_edge_mid");
  CHECK(settle_pieces(unplaced.arch, {}).error().remedy == "place 11.incisal_edge_mid");
}
