// Splints held against CGAL: closed, outward, without self-intersection, and of the volume that we say.
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Polygon_mesh_processing/measure.h>
#include <CGAL/Polygon_mesh_processing/orientation.h>
#include <CGAL/Polygon_mesh_processing/self_intersections.h>
#include <CGAL/Surface_mesh.h>
#include <doctest/doctest.h>

#include <cstdlib>

#include "surgery/splint_scenes.h"

using namespace intercusp;
namespace pmp = CGAL::Polygon_mesh_processing;

namespace {

using SplintKernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using SplintPolygons = CGAL::Surface_mesh<SplintKernel::Point_3>;

void cgal_accepts(const Splint& splint) {
  SplintPolygons polygons;
  for (const Vec3f& p : splint.mesh.positions) polygons.add_vertex({p.x(), p.y(), p.z()});
  using Vertex = SplintPolygons::Vertex_index;
  for (const Triangle& t : splint.mesh.triangles) {
    REQUIRE(polygons.add_face(Vertex(t[0]), Vertex(t[1]), Vertex(t[2])) != SplintPolygons::null_face());
  }
  CHECK(CGAL::is_closed(polygons));
  CHECK_FALSE(pmp::does_self_intersect(polygons));
  CHECK(pmp::is_outward_oriented(polygons));
  CHECK(std::abs(CGAL::to_double(pmp::volume(polygons)) - splint.volume_mm3) < 1e-3 * splint.volume_mm3);
}

/// `quick`: on a coarse grid, whose triangles stand off ridges more often.
void accepted(splint_scenes::Scene scene, bool quick) {
  if (quick) scene.request.settings.step_mm = 0.5;
  const auto made = make_splint(scene.request);
  REQUIRE_MESSAGE(made.ok(), (made.ok() ? "" : made.error().sentence()));
  splint_scenes::check(scene, made.value(), quick ? 0.12 : 0.02);
  cgal_accepts(made.value());
}

}  // namespace

// INTERCUSP_SPLINTS: how many random plans; with it, every sample as well, and all on the grid that is used.
TEST_CASE("CGAL: splints of samples and random plans are sound, clear of the teeth, and seat") {
  const char* asked = std::getenv("INTERCUSP_SPLINTS");
  const std::uint64_t most = asked ? std::strtoull(asked, nullptr, 10) : 1;
  for (std::uint64_t seed = 1; seed <= most; ++seed) {
    CAPTURE(seed);
    accepted(splint_scenes::random_scene(seed, 20000), !asked);
  }
  if (!asked) return;
  for (const JawRecipe& recipe : sample_recipes()) {
    CAPTURE(recipe.name);
    accepted(splint_scenes::of_sample(recipe.name.c_str(), 60000, 0), false);
  }
}
