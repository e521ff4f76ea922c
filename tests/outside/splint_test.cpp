// Splints held against CGAL: closed, outward, without self-intersection, and of the volume that we say.
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Polygon_mesh_processing/measure.h>
#include <CGAL/Polygon_mesh_processing/orientation.h>
#include <CGAL/Polygon_mesh_processing/self_intersections.h>
#include <CGAL/Surface_mesh.h>
#include <doctest/doctest.h>

#include <cstdlib>

#include "splint_room.h"
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

/// The set clearance within 0.02 mm at every point of the imprinted enamel; nowhere less.
void room_is_kept(const splint_scenes::Scene& scene, const Splint& splint, std::size_t every) {
  const outside::AskedSplint asked{splint, outside::AskedMesh(splint.mesh)};
  const outside::AskedMesh upper(scene.request.upper), lower(scene.request.lower);
  const double clearance = scene.request.settings.clearance_mm;
  for (const SplintPart part : {SplintPart::upper_imprint, SplintPart::lower_imprint}) {
    const bool is_upper = part == SplintPart::upper_imprint;
    const auto found = outside::room_at_enamel(asked, part, is_upper ? scene.request.upper : scene.request.lower,
                                               is_upper ? upper : lower, is_upper ? lower : upper, clearance, every);
    CAPTURE(found.asked);
    CAPTURE(found.most_mm);
    CHECK(found.asked > 1000 / every);
    CHECK(found.least_mm > clearance - 0.02);
    CHECK(found.too_wide == 0);
    CHECK(found.at_rim * 50 < found.asked);
  }
}

/// `quick`: on a coarse grid, whose triangles stand off ridges more often.
void accepted(splint_scenes::Scene scene, bool quick) {
  if (quick) scene.request.settings.step_mm = 0.5;
  scene.request.settings.raised_text = {"RANDOM-PLAN A INTERMEDIATE 89ABCDEF", "A FINAL 0123"};
  const auto made = make_splint(scene.request);
  CHECK_MESSAGE(made.ok(), (made.ok() ? "" : made.error().sentence()));
  if (!made.ok()) return;  // the other plans are tried all the same
  splint_scenes::check(scene, made.value(), quick ? 0.12 : 0.02);
  cgal_accepts(made.value());
  if (!quick) room_is_kept(scene, made.value(), 1);
}

/// As an environment variable says.
std::uint64_t asked_for(const char* name, std::uint64_t otherwise) {
  const char* text = std::getenv(name);
  return text ? std::strtoull(text, nullptr, 10) : otherwise;
}

}  // namespace

// INTERCUSP_SPLINTS: the last random plan; with it, every sample as well, and all on the grid that is used.
// INTERCUSP_SPLINTS_FROM: the first; with it, no samples.
TEST_CASE("CGAL: splints of samples and random plans are sound, clear of the teeth, and seat") {
  const char* asked = std::getenv("INTERCUSP_SPLINTS");
  const std::uint64_t from = asked_for("INTERCUSP_SPLINTS_FROM", 0), most = asked_for("INTERCUSP_SPLINTS", 1);
  for (std::uint64_t seed = std::max<std::uint64_t>(from, 1); seed <= most; ++seed) {
    CAPTURE(seed);
    accepted(splint_scenes::random_scene(seed, 20000), !asked);
  }
  if (!asked || from > 0) return;
  for (const JawRecipe& recipe : sample_recipes()) {
    CAPTURE(recipe.name);
    accepted(splint_scenes::of_sample(recipe.name.c_str(), 60000, 0), false);
  }
}
