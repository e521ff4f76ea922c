// Scans end at the gum, and where crowns touch they fold over and pass through themselves, as those of patients do.
// What lies outside of the whole jaw must never be told to lie inside of the open scan: it would read as a deep
// overlap.
#include <doctest/doctest.h>

#include "anatomy/sample_jaws.h"
#include "anatomy/scan_flaws.h"
#include "geometry/signed_distance.h"

using namespace intercusp;

namespace {

struct ScannedJaw {
  SurfacePtr whole, open;
};

ScannedJaw scanned_lower_of(const char* sample) {
  JawRecipe recipe = find_sample(sample).value();
  recipe.triangles = 40000;
  Mesh mesh = make_sample(recipe).value().bodies[1].mesh;
  const SurfacePtr whole = Surface::make(mesh);
  flaws::cut_base_off(mesh, false, 10.5);
  return {whole, Surface::make(std::move(mesh))};
}

/// Points about the front teeth that wind around nothing and are told to lie inside; `step`: of the grid, mm.
int told_inside(const ScannedJaw& jaw, double step) {
  int wrong = 0, asked = 0;
  for (double x = -13; x <= 13; x += step)
    for (double y = -12; y <= 4; y += 1.2 * step)
      for (double z = -2; z <= 6; z += 1.3 * step) {
        const Vec3 p(x, y, z);
        SignedDistance found;
        if (!signed_distance(*jaw.open, p, 3, found) || winding_number(*jaw.whole, p) != 0) continue;
        ++asked;
        wrong += found.side == Side::inside;
      }
  CHECK(asked > 10000);
  return wrong;
}

}  // namespace

TEST_CASE("open scans: nothing outside of the jaw is told to lie inside") {
  for (const char* sample : {"class3_prepared", "class1", "class3"}) {
    CAPTURE(sample);
    const ScannedJaw jaw = scanned_lower_of(sample);
    CHECK_FALSE(jaw.open->closed());
    CHECK(told_inside(jaw, 0.31) == 0);
  }
}

TEST_CASE("open scans: nothing near their edges is told to lie inside") {
  const ScannedJaw jaw = scanned_lower_of("class3_prepared");
  const Mesh& mesh = jaw.open->mesh();
  int asked = 0;
  for (std::size_t v = 0; v < mesh.positions.size(); ++v) {
    if (!jaw.open->doubtful()[v]) continue;
    for (const Vec3& away : {Vec3(0.3, 0.2, 0.4), Vec3(-0.2, -0.4, 0.3), Vec3(0.1, -0.1, 0.5), Vec3(-0.4, 0.3, 0.2)}) {
      const Vec3 p = mesh.positions[v].cast<double>() + away;
      SignedDistance found;
      if (!signed_distance(*jaw.open, p, 3, found) || winding_number(*jaw.whole, p) != 0) continue;
      ++asked;
      CHECK(found.side != Side::inside);
    }
  }
  CHECK(asked > 200);
}
