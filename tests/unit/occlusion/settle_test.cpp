#include "occlusion/settle.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>

#include "anatomy/fixed_random.h"
#include "anatomy/sample_jaws.h"
#include "occlusion/model_bite.h"

using namespace intercusp;

namespace {

// The jaws of a sample as scans: vertices off by up to 0.03 mm, the lower arch elsewhere.
struct ScannedBite {
  MeasureInput input;
  Pose away = Pose::Identity();  // of the lower arch from its true place
};

Mesh noisy(Mesh mesh, std::uint64_t seed) {
  FixedRandom random(seed);
  for (Vec3f& p : mesh.positions) {
    for (int axis = 0; axis < 3; ++axis) p[axis] += static_cast<float>(random.between(-0.03, 0.03));
  }
  return mesh;
}

Pose random_motion(FixedRandom& random, double most_mm, double most_deg, const Vec3& about) {
  Vec3 axis, shift;
  do {
    for (int i = 0; i < 3; ++i) axis[i] = random.between(-1, 1);
  } while (axis.norm() > 1 || axis.norm() < 0.1);
  do {
    for (int i = 0; i < 3; ++i) shift[i] = random.between(-1, 1);
  } while (shift.norm() > 1);
  Pose turn = Pose::Identity();
  turn.linear() = Eigen::AngleAxisd(radians(random.between(0, most_deg)), axis.normalized()).toRotationMatrix();
  turn.translation() = about - turn.linear() * about + most_mm * shift;
  return turn;
}

ScannedBite scanned(const SampleJaws& jaws) {
  ScannedBite bite;
  for (const auto& [name, landmark] : jaws.landmarks) bite.input.points[name] = landmark.at;
  bite.input.upper = {Surface::make(noisy(jaws.bodies[0].mesh, 1)), Pose::Identity()};
  bite.input.lower = {Surface::make(noisy(jaws.bodies[1].mesh, 2)), Pose::Identity()};
  bite.input.frame = maxillary_occlusal_frame(bite.input.points).value();
  return bite;
}

ScannedBite put_away(const ScannedBite& true_bite, FixedRandom& random) {
  ScannedBite out = true_bite;
  out.away = random_motion(random, 6, 8, Vec3(0, 25, -5));
  for (auto& [name, at] : out.input.points) {
    if (jaw_of_landmark(name) == Jaw::lower) at = out.away * at;
  }
  out.input.lower.patient_from_surface = out.away;
  return out;
}

struct Miss {
  double mm = 0, deg = 0;
};

struct Nearest {
  Miss miss{1e9, 1e9};
  std::size_t place = 0;
};

// How far a lower arch that went away and came back is from where it was: at the middle of its teeth.
Miss miss(const Pose& back, const Pose& away) {
  const Pose left = back * away;
  const Vec3 middle(0, 25, 0);
  return {(left * middle - middle).norm(), degrees(Eigen::AngleAxisd(left.linear()).angle())};
}

Nearest nearest_to_truth(const std::vector<SettleSolution>& solutions, const Pose& away) {
  Nearest best;
  for (std::size_t i = 0; i < solutions.size(); ++i) {
    const Miss m = miss(solutions[i].motion, away);
    if (m.mm + m.deg < best.miss.mm + best.miss.deg) best = {m, i};
  }
  return best;
}

int starts_asked_for() {
  const char* text = std::getenv("INTERCUSP_STARTS");
  return text ? std::atoi(text) : 6;
}

SampleJaws made(const std::string& sample, std::uint64_t seed, std::uint32_t triangles) {
  JawRecipe recipe = find_sample(sample).value();
  recipe.seed = seed;
  recipe.triangles = triangles;
  auto jaws = make_sample(recipe);
  if (!jaws.ok()) {
    recipe = find_sample(sample).value();
    recipe.triangles = triangles;
    jaws = make_sample(recipe);
  }
  return jaws.value();
}

}  // namespace

// Targets: median 0.05 mm and 0.1 degrees; offered in 98 %, first in 95 % of those of Class I. INTERCUSP_STARTS in the
// environment asks for more starts (tests/long.sh: 200), ten a sample then.
TEST_CASE("settle finds the intercuspation again from random starts") {
  const int starts = starts_asked_for(), each = starts < 20 ? 1 : 10;
  const std::vector<std::string> samples = {"class1", "class2_div1", "open_bite", "class3", "crossbite", "class2_div2"};
  std::vector<double> mm, deg;
  int offered = 0, class1 = 0, first = 0;
  ScannedBite bite;
  std::string sample;
  for (int i = 0; i < starts; ++i) {
    if (i % each == 0) {
      const auto turn = static_cast<std::size_t>(i / each);
      sample = samples[turn % samples.size()];
      bite = scanned(made(sample, turn / samples.size() + 1, 100000));
    }
    FixedRandom random(static_cast<std::uint64_t>(i) + 77);
    const ScannedBite there = put_away(bite, random);
    const auto found = settle(there.input, Jaw::lower, {});
    REQUIRE_MESSAGE(found.ok(), (found.ok() ? "" : found.error().sentence()));
    const Nearest nearest = nearest_to_truth(found.value(), there.away);
    mm.push_back(nearest.miss.mm);
    deg.push_back(nearest.miss.deg);
    const bool is_it = nearest.miss.mm < 0.3 && nearest.miss.deg < 0.5;
    CHECK_MESSAGE((is_it || starts >= 20), (sample + ": " + std::to_string(nearest.miss.mm) + " mm"));
    if (!is_it) MESSAGE(sample << ", start " << i << ": nearest " << nearest.miss.mm << " mm, " << nearest.miss.deg);
    offered += is_it ? 1 : 0;
    if (sample == "class1" || sample == "open_bite") {
      class1 += 1;
      first += is_it && nearest.place == 0 ? 1 : 0;
    }
  }
  std::sort(mm.begin(), mm.end());
  std::sort(deg.begin(), deg.end());
  MESSAGE("settle: median " << mm[mm.size() / 2] << " mm, " << deg[deg.size() / 2] << " degrees; offered " << offered
                            << " of " << starts << ", first " << first << " of " << class1 << " of Class I");
  CHECK(mm[mm.size() / 2] <= 0.05);
  CHECK(deg[deg.size() / 2] <= 0.1);
  CHECK(offered >= 0.98 * starts);
  CHECK(first >= 0.95 * class1);
}

TEST_CASE("settle of the upper arch is the same bite, a pin is met, a cancel sticks") {
  const ScannedBite bite = scanned(made("class1", 8, 20000));
  const auto lower = settle(bite.input, Jaw::lower, {}), upper = settle(bite.input, Jaw::upper, {});
  REQUIRE((lower.ok() && upper.ok()));
  REQUIRE(lower.value().size() == upper.value().size());
  for (std::size_t i = 0; i < lower.value().size(); ++i) {
    const Pose both = lower.value()[i].motion * upper.value()[i].motion;
    CHECK((both.matrix() - Pose::Identity().matrix()).norm() < 1e-9);
    CHECK(lower.value()[i].reading == upper.value()[i].reading);
  }
  SettleSettings pinned;
  pinned.pinned["midline_upper_lower"] = 1.0;
  const auto moved = settle(bite.input, Jaw::lower, pinned);
  REQUIRE(moved.ok());
  CHECK(std::abs(moved.value()[0].reading.at("midline_upper_lower") - 1.0) < 0.02);
  Progress progress;
  progress.cancel();
  CHECK_FALSE(settle(bite.input, Jaw::lower, {}, progress).ok());
}

TEST_CASE("settle says what it lacks") {
  MeasureInput nothing;
  CHECK(settle(nothing, Jaw::lower, {}).error().what == "both scans are needed to seat the arches");
  ScannedBite bite = scanned(made("class1", 8, 20000));
  SettleSettings settings;
  settings.pinned["intermolar_upper"] = 50;
  CHECK(settle(bite.input, Jaw::lower, settings).error().what == "\"intermolar_upper\" cannot be pinned");
  bite.input.frame.reset();
  bite.input.points.erase("11.incisal_edge_mid");
  CHECK(settle(bite.input, Jaw::lower, {}).error().remedy == "place 11.incisal_edge_mid");
}
