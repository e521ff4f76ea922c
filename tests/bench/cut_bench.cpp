// How long the saw takes: the upper jaw of a sample of about as many triangles as asked by a Le Fort I, its lower jaw
// by a split. Needs nothing but the program itself:
//   cmake --build build/native --target cut_bench && build/native/tests/cut_bench 200000 1000000
// Printed for each, wall time, s, the median of five: the saw alone, and its pieces with their hierarchies and checks
// as a plan that gets the cut waits for them.
#include "casebook/cut_case.h"
#include "casebook/recipe_link.h"
#include "scenes.h"

using namespace intercusp;
using namespace intercusp::bench;

namespace {

template <class T>
T or_stop(Result<T> result) {
  if (result.ok()) return std::move(result).value();
  std::printf("%s\n", result.error().sentence().c_str());
  std::exit(1);
}

void time_cut(Case c, CutKind kind, const std::string& name, std::uint32_t triangles) {
  const Osteotomy cut = make_osteotomy(kind, {}).value();
  const auto bone = std::find_if(c.bodies.begin(), c.bodies.end(), [&](const Body& body) { return body.name == name; });
  if (bone == c.bodies.end()) std::exit(1);
  bone->surface = Surface::make(made_fine(bone->surface->mesh(), triangles));
  bone->mesh_sha256.clear();
  const CutSurface surface = or_stop(place_sawings(c, cut)).front().surface.moved(c.patient_from_scans.inverse());
  const double saw = timed(
                         5, [&] { or_stop(cut_mesh(bone->surface->mesh(), surface, cut.kerf_mm())); }, wall_ms) /
                     1e3;
  c.plans.push_back({"A", {cut_entry(cut)}, "upper"});
  const double whole = timed(
                           5, [&] { or_stop(with_cuts(c, &c.plans[0])); }, wall_ms) /
                       1e3;
  std::printf("%-12s %8zu triangles: saw %5.2f s, pieces ready %5.2f s\n", name.c_str(),
              bone->surface->mesh().triangles.size(), saw, whole);
}

}  // namespace

int main(int count, char** arguments) {
  for (int i = 1; i < count; ++i) {
    const auto triangles = static_cast<std::uint32_t>(std::atoi(arguments[i]));
    const Case c = or_stop(case_from_sample("class3", std::nullopt, triangles, true));
    time_cut(c, CutKind::lefort1, "upper_bone", triangles);
    time_cut(c, CutKind::split_right, "lower_bone", triangles);
  }
  return 0;
}
