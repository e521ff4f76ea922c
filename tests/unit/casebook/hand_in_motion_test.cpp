#include "casebook/hand_in_motion.h"

#include <doctest/doctest.h>

#include <cmath>
#include <map>

#include "casebook/bone_case.h"
#include "casebook/small_case.h"

using namespace intercusp;
using namespace intercusp::test;
using doctest::Approx;

namespace {

Case sawn_plan(double forward, double up) {
  Movement m;
  m.forward_mm = forward;
  m.up_mm = up;
  return made(planned({cut_entry(cut_of(CutKind::lefort1)), moved("maxilla", m)}));
}

struct AtPlace {
  double deepest_mm = 0, volume_mm3 = 0;
};

/// What several overlaps have at one place is one row in motion.
std::map<std::string, AtPlace> by_place(const std::vector<BoneInWay>& rows) {
  std::map<std::string, AtPlace> out;
  for (const BoneInWay& row : rows) {
    AtPlace& place = out[row.part.site.words];
    place.deepest_mm = std::max(place.deepest_mm, row.part.overlap.deepest_mm);
    place.volume_mm3 += row.part.overlap.volume_mm3.value();
  }
  return out;
}

}  // namespace

TEST_CASE("what a hand is told in motion is what is true at rest, nearly") {
  const Case c = sawn_plan(5, 3);
  LightForms forms;
  HandInMotion hand(c, "A", forms);
  Case moving = c;
  for (const double more : {0.0, 0.4, -0.3}) {
    moving.plans[0].entries.back().movement.forward_mm = 5 + more;
    const SegmentPoses poses = segment_poses(moving, &moving.plans[0], Moment::planned).value();
    const HandStep told = hand.at(poses, true);

    const auto pairs = contact_pairs(moving, poses, moving.contact_settings).value();
    const auto exact = bone_in_way(moving, &moving.plans[0], poses, pairs);
    const auto then = by_place(exact), now = by_place(told.bone);
    for (const auto& known : then) {
      const std::string& place = known.first;
      const AtPlace& truth = known.second;
      if (truth.volume_mm3 < 20) continue;  // at the edge of being listed
      REQUIRE_MESSAGE(now.count(place) == 1, place);
      CHECK_MESSAGE(std::abs(now.at(place).deepest_mm - truth.deepest_mm) < 0.3, place);
      CHECK_MESSAGE(now.at(place).volume_mm3 == Approx(truth.volume_mm3).epsilon(0.15), place);
    }
    CHECK(told.plates.size() == plate_gaps(moving, &moving.plans[0], poses).size());

    for (const ContactPair& pair : told.pairs) {
      const auto at_rest = std::find_if(pairs.begin(), pairs.end(), [&](const ContactPair& p) {
        return p.first == pair.first && p.second == pair.second;
      });
      REQUIRE(at_rest != pairs.end());
      const double truth = at_rest->result.minimum_distance_mm, near = pair.result.minimum_distance_mm;
      if (is_dental(pair.first) && is_dental(pair.second)) {
        CHECK(near == truth);
      } else {
        CHECK(near == Approx(truth).epsilon(0.15).scale(2));
        CHECK(pair.result.gap_first.empty());
      }
    }
  }
}

TEST_CASE("the lighter forms of a case are made once") {
  const Case c = sawn_plan(3, 0);
  LightForms forms;
  const Case light = forms.of(c), again = forms.of(c);
  std::size_t triangles = 0, light_triangles = 0;
  for (std::size_t i = 0; i < c.bodies.size(); ++i) {
    CHECK(light.bodies[i].surface == again.bodies[i].surface);
    triangles += c.bodies[i].surface->mesh().triangles.size();
    light_triangles += light.bodies[i].surface->mesh().triangles.size();
  }
  CHECK(light_triangles < triangles);
}
