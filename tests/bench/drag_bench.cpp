// How long one step of a drag takes: the upper jaw, freed by a Le Fort I, a little further each time, with bodies of
// about as many triangles each as asked. Needs nothing but the program itself:
//   cmake --build build/native --target drag_bench && build/native/tests/drag_bench 200000
// Printed, as medians of wall time over 40 steps: what the screen asks for while a hand moves the jaw (HandInMotion:
// all pairs, the list by place, the gaps at plate sites), measures and joint spaces, and the sum; then what is asked
// where the hand rests, and both answers beside each other. On one thread with --one (the page has one); --steps 400
// for a profile.
#include <cstring>

#include <nlohmann/json.hpp>

#include "base/parallel.h"
#include "casebook/condyles.h"
#include "casebook/cut_case.h"
#include "casebook/hand_in_motion.h"
#include "casebook/recipe_link.h"
#include "scenes.h"

using namespace intercusp;
using namespace intercusp::bench;

namespace {

/// Skull, upper jaw, lower jaw, both arches and the roots, in pieces; each finer until it has about as many triangles.
Case sawn_case(std::uint32_t triangles) {
  Case c = case_from_sample("class3", std::nullopt, triangles, true).value();
  Plan plan{"A", {cut_entry(make_osteotomy(CutKind::lefort1, {}).value())}, "upper"};
  Movement m;
  m.forward_mm = 5;
  m.up_mm = 3;
  plan.entries.push_back({"maxilla", m, ""});
  c.plans.push_back(plan);
  Case cut = with_cuts(c, &c.plans[0]).value();
  for (Body& body : cut.bodies) {
    Mesh mesh = body.surface->mesh();
    mesh.colours.clear();
    body.surface = Surface::make(made_fine(std::move(mesh), triangles));
    std::printf("  %-18s %8zu triangles\n", body.name.c_str(), body.surface->mesh().triangles.size());
  }
  return cut;
}

struct Step {
  std::vector<double> hand, page, all;
};

void step(Case& c, double by, HandInMotion& hand, Step& times) {
  Plan& plan = c.plans[0];
  plan.entries.back().movement.forward_mm = 5 + by;
  const double begin = wall_ms();
  const SegmentPoses poses = segment_poses(c, &plan, Moment::planned).value();
  const HandStep told = hand.at(poses, true);
  const double followed = wall_ms();
  const auto read = measure_all(measure_input(c, poses));
  const auto joints = condyle_changes(c, poses);
  const double end = wall_ms();
  if (told.bone.empty() || told.plates.empty() || read.empty() || joints.empty()) std::exit(1);
  times.hand.push_back(followed - begin);
  times.page.push_back(end - followed);
  times.all.push_back(end - begin);
}

/// What is told where the hand rests, and how far off what it was told in motion is.
void print_rest(const Case& c, HandInMotion& hand) {
  const Plan* plan = &c.plans[0];
  const SegmentPoses poses = segment_poses(c, plan, Moment::planned).value();
  const HandStep told = hand.at(poses, true);
  const double begin = wall_ms();
  const auto pairs = contact_pairs(c, poses, c.contact_settings).value();
  const double touched = wall_ms();
  const auto rows = bone_in_way(c, plan, poses, pairs);
  const double listed = wall_ms();
  const auto gaps = plate_gaps(c, plan, poses);
  const double end = wall_ms();
  std::printf("at rest, from nothing: contacts of all pairs %.1f ms, list by place %.1f ms, plate sites %.1f ms\n",
              touched - begin, listed - touched, end - listed);
  std::printf("  %-60s %21s %23s\n", "", "depth, mm: rest hand", "volume, mm3: rest hand");
  for (const BoneInWay& row : rows) {
    std::printf("  %-60s %10.2f", row.part.site.words.c_str(), row.part.overlap.deepest_mm);
    for (const BoneInWay& other : told.bone)
      if (other.part.site.words == row.part.site.words)
        std::printf(" %10.2f %12.1f %10.1f", other.part.overlap.deepest_mm, row.part.overlap.volume_mm3.value_or(0),
                    other.part.overlap.volume_mm3.value_or(0));
    std::printf("\n");
  }
  for (std::size_t i = 0; i < std::min(gaps.size(), told.plates.size()); ++i)
    std::printf("  plate %-54s gap %5.2f %5.2f  step %5.2f %5.2f  contact %5.1f %5.1f\n", gaps[i].site.words.c_str(),
                gaps[i].gap_mm, told.plates[i].gap_mm, gaps[i].step_mm, told.plates[i].step_mm, gaps[i].contact_mm2,
                told.plates[i].contact_mm2);
}

}  // namespace

int main(int count, char** arguments) {
  int steps = 40;
  for (int i = 1; i < count; ++i) {
    if (std::strcmp(arguments[i], "--steps") == 0 && i + 1 < count) {
      steps = std::atoi(arguments[++i]);
      continue;
    }
    if (std::strcmp(arguments[i], "--one") == 0) {
      use_one_thread(true);
      continue;
    }
    Case c = sawn_case(static_cast<std::uint32_t>(std::atoi(arguments[i])));
    const double before = wall_ms();
    LightForms forms;
    HandInMotion hand(c, "A", forms);
    std::printf("lighter forms in %.0f ms\n", wall_ms() - before);
    Step times;
    for (int k = 0; k < steps + 1; ++k) {
      step(c, 0.3 * std::sin(2 * kPi * k / 40), hand, times);
      if (k == 0) times = {};  // the first looks at everything anew
    }
    std::printf(
        "one step: all pairs, list by place and plate sites %.1f ms, measures and joints %.1f ms, together %.1f ms\n",
        median(times.hand), median(times.page), median(times.all));
    print_rest(c, hand);
  }
  return 0;
}
