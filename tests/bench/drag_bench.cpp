// How long one step of a drag takes: the upper jaw, freed by a Le Fort I, a little further each time, with bodies of
// about as many triangles each as asked. Needs nothing but the program itself:
//   cmake --build build/native --target drag_bench && build/native/tests/drag_bench 200000
// Printed, as medians of wall time over 40 steps: the contacts of all pairs (as the screen asks for while a hand moves
// the jaw), the list by place and the gaps at plate sites (which the screen asks for when the hand rests), measures and
// joint spaces, and the sum. On one thread as well with --one (the page has one); --steps 400 for a profile.
#include <cstring>

#include <nlohmann/json.hpp>

#include "base/parallel.h"
#include "casebook/bone_in_way.h"
#include "casebook/condyles.h"
#include "casebook/cut_case.h"
#include "casebook/plate_sites.h"
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
  std::vector<double> contacts, list, plates, measures, all;
};

void step(Case& c, double by, KeptQueries& kept, Step& times) {
  Plan& plan = c.plans[0];
  plan.entries.back().movement.forward_mm = 5 + by;
  const double begin = wall_ms();
  const SegmentPoses poses = segment_poses(c, &plan, Moment::planned).value();
  ContactSettings near = c.contact_settings;
  near.band_mm = near.near_contact_mm;
  const auto pairs = contacts_of(pairs_to_compare(c, poses).value(), near, &kept);
  const double touched = wall_ms();
  const auto rows = bone_in_way(c, &plan, poses, pairs);
  const double listed = wall_ms();
  const auto gaps = plate_gaps(c, &plan, poses);
  const double bridged = wall_ms();
  const auto read = measure_all(measure_input(c, poses));
  const auto joints = condyle_changes(c, poses);
  const double end = wall_ms();
  if (rows.empty() || gaps.empty() || read.empty() || joints.empty()) std::exit(1);
  times.contacts.push_back(touched - begin);
  times.list.push_back(listed - touched);
  times.plates.push_back(bridged - listed);
  times.measures.push_back(end - bridged);
  times.all.push_back(end - begin);
}

/// The contacts of each pair by itself, the last step once more.
void print_pairs(const Case& c, KeptQueries& kept) {
  const SegmentPoses poses = segment_poses(c, &c.plans[0], Moment::planned).value();
  ContactSettings near = c.contact_settings;
  near.band_mm = near.near_contact_mm;
  const auto pairs = pairs_to_compare(c, poses).value();
  for (const PosedPairOfBodies& pair : pairs) {
    const double begin = wall_ms();
    const ContactResult found =
        kept.at(pair.first_surface, pair.first_pose, pair.second_surface, pair.second_pose, near);
    std::printf("  %-18s %-18s %7.1f ms, %zu overlaps\n", pair.first.c_str(), pair.second.c_str(), wall_ms() - begin,
                found.regions.size());
  }
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
    KeptQueries kept;
    Step times;
    for (int k = 0; k < steps + 1; ++k) {
      step(c, 0.3 * std::sin(2 * kPi * k / 40), kept, times);
      if (k == 0) times = {};  // the first looks at everything anew
    }
    std::printf(
        "contacts of all pairs %7.1f ms, list by place %7.1f ms, plate sites %7.1f ms, measures and joints %7.1f ms, "
        "together %7.1f ms\n",
        median(times.contacts), median(times.list), median(times.plates), median(times.measures), median(times.all));
    print_pairs(c, kept);
  }
  return 0;
}
