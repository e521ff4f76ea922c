// Random jaws whose numbers are known by construction, in random places, with teeth missing and in the mirror.
// INTERCUSP_JAWS in the environment asks for more (tests/long.sh: 2,000).
#include <doctest/doctest.h>

#include <cstdlib>

#include "anatomy/fixed_random.h"
#include "anatomy/notation.h"
#include "anatomy/sample_truth.h"
#include "anatomy/seating.h"
#include "occlusion/model_bite.h"

using namespace intercusp;

namespace {

constexpr double kTruthMm = 1e-3;  // mm, or % for ratios

// Landmarks and truth of a random recipe, without its meshes.
SampleJaws random_landmarks(std::uint64_t seed) {
  SampleJaws jaws;
  jaws.recipe = random_recipe(seed);
  const SeatedArches arches = seat_arches(jaws.recipe).value();
  jaws.landmarks = arches.landmarks;
  jaws.landmarks["raphe_anterior"].at = Vec3(0, 14, 6);
  jaws.landmarks["raphe_posterior"].at = Vec3(0, 36, 9);
  add_truth(jaws);
  return jaws;
}

PointMap plain(const LandmarkSet& set) {
  PointMap points;
  for (const auto& [name, landmark] : set) points[name] = landmark.at;
  return points;
}

Pose anywhere(FixedRandom& random) {
  Vec3 axis(random.between(-1, 1), random.between(-1, 1), random.between(-1, 1));
  axis = (axis + Vec3(0.01, 0, 0)).normalized();
  return Eigen::Translation3d(random.between(-80, 80), random.between(-80, 80), random.between(-80, 80)) *
         Eigen::AngleAxisd(radians(random.between(0, 180)), axis);
}

void check_truth(const SampleJaws& jaws, const MeasureInput& in, std::uint64_t seed) {
  const std::string which = ", seed " + std::to_string(seed);
  for (const auto& [id, value] : jaws.truth) {
    const std::string where = id + which;
    const std::size_t quarters = id.find("_quarters");
    const MeasureValue v = read(in, id.substr(0, quarters).c_str());
    const double got = quarters == std::string::npos ? v.value : *v.quarters;
    CHECK_MESSAGE(std::abs(got - value) < kTruthMm, where);
  }
  for (const auto& [id, relation] : jaws.truth_class) {
    const std::string where = id + which;
    CHECK_MESSAGE(*read(in, id.c_str()).relation == relation, where);
  }
}

std::string other_side(std::string id) {
  const std::size_t right = id.find("_right"), left = id.find("_left");
  if (right != std::string::npos) return id.replace(right, 6, "_left");
  return left != std::string::npos ? id.replace(left, 5, "_right") : id;
}

// Right and left exchanged: the same numbers on the other side, midlines turned round.
void check_mirror(const PointMap& points, const MeasureInput& in) {
  PointMap reflected;
  for (const auto& [name, at] : points) {
    const bool tooth = name[0] >= '1' && name[0] <= '4' && name[2] == '.';
    const std::string other =
        tooth ? std::to_string(mirrored_tooth(std::stoi(name.substr(0, 2)))) + name.substr(2) : name;
    reflected[other] = Vec3(-at.x(), at.y(), at.z());
  }
  const MeasureInput mirrored = input_of(reflected);
  for (const MeasureDefinition& d : measure_table()) {
    if (!d.missing(in).empty()) continue;
    const MeasureValue a = d.measure(in), b = read(mirrored, other_side(d.id).c_str());
    CHECK_MESSAGE(std::abs(a.value - (d.group == "midlines" ? -1 : 1) * b.value) < 1e-9, d.id);
    CHECK_MESSAGE(a.relation == b.relation, d.id);
  }
}

// Without one tooth every measure gives the same number as before, says that it lacks that tooth, or at how many places
// it was read.
void check_missing_tooth(const PointMap& points, int tooth) {
  const std::string prefix = std::to_string(tooth) + ".";
  PointMap fewer = points;
  for (auto it = fewer.begin(); it != fewer.end();) it = it->first.rfind(prefix, 0) == 0 ? fewer.erase(it) : ++it;
  const MeasureInput whole = input_of(points), gap = input_of(fewer);
  if (!gap.frame) return;
  for (const MeasureDefinition& d : measure_table()) {
    if (!d.missing(whole).empty()) continue;
    const std::vector<std::string> needs = d.missing(gap);
    if (needs.empty()) {
      CHECK_MESSAGE(std::isfinite(d.measure(gap).value), d.id);
      const bool same_frame = (gap.frame->up - whole.frame->up).norm() < 1e-12;
      const auto of_tooth = [&](const std::string& n) { return n.rfind(prefix, 0) == 0; };
      const bool takes = std::any_of(d.takes.begin(), d.takes.end(), of_tooth);
      const bool untouched = !takes && std::none_of(d.needs.begin(), d.needs.end(), of_tooth);
      if (same_frame && untouched) CHECK_MESSAGE(d.measure(gap).value == doctest::Approx(d.measure(whole).value), d.id);
      if (takes) CHECK_MESSAGE(d.measure(gap).finding.value_or("").find(" of ") != std::string::npos, d.id);
    } else {
      const bool named =
          std::any_of(needs.begin(), needs.end(), [&](const std::string& n) { return n.rfind(prefix, 0) == 0; });
      CHECK_MESSAGE(named, (d.id + " without " + prefix));
    }
  }
}

}  // namespace

TEST_CASE("random recipes read as they were built, anywhere, in the mirror and with a tooth missing") {
  const char* asked = std::getenv("INTERCUSP_JAWS");
  const int jaws_asked_for = asked ? std::atoi(asked) : 12;
  for (int i = 1; i <= jaws_asked_for; ++i) {
    const auto seed = static_cast<std::uint64_t>(i);
    const SampleJaws jaws = random_landmarks(seed);
    FixedRandom random(seed);
    const PointMap points = plain(jaws.landmarks);
    const MeasureInput here = input_of(points);
    check_truth(jaws, here, seed);
    check_truth(jaws, input_of(moved(points, anywhere(random))), seed);
    check_mirror(points, here);
    const int quadrant = 10 * static_cast<int>(random.below(4) + 1);
    check_missing_tooth(points, quadrant + 1 + static_cast<int>(random.below(7)));
  }
}
