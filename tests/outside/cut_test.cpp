// Cut pieces held against CGAL: closed, outward, without self-intersection, and the volumes as CGAL clips them.
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Polygon_mesh_processing/clip.h>
#include <CGAL/Polygon_mesh_processing/measure.h>
#include <CGAL/Polygon_mesh_processing/orientation.h>
#include <CGAL/Polygon_mesh_processing/self_intersections.h>
#include <CGAL/Surface_mesh.h>
#include <doctest/doctest.h>

#include <cstdlib>

#include "casebook/cut_case.h"
#include "casebook/recipe_link.h"
#include "geometry/cut.h"
#include "geometry/cut_scenes.h"

using namespace intercusp;
namespace pmp = CGAL::Polygon_mesh_processing;

namespace {

using CutKernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using CutPolygons = CGAL::Surface_mesh<CutKernel::Point_3>;

CutPolygons cut_to_cgal(const Mesh& mesh) {
  CutPolygons out;
  for (const Vec3f& p : mesh.positions) out.add_vertex({p.x(), p.y(), p.z()});
  using Vertex = CutPolygons::Vertex_index;
  for (const Triangle& t : mesh.triangles) {
    REQUIRE(out.add_face(Vertex(t[0]), Vertex(t[1]), Vertex(t[2])) != CutPolygons::null_face());
  }
  return out;
}

/// CGAL's opinion of one piece; its volume. `crossed`: what it was cut from passes through itself already.
double accepted(const Mesh& mesh, bool crossed = false) {
  const CutPolygons polygons = cut_to_cgal(mesh);
  CHECK(CGAL::is_closed(polygons));
  if (!crossed) CHECK_FALSE(pmp::does_self_intersect(polygons));
  CHECK(pmp::is_outward_oriented(polygons));
  return CGAL::to_double(pmp::volume(polygons));
}

}  // namespace

TEST_CASE("CGAL: pieces of random cuts are closed, outward and free of self-intersections") {
  const char* asked = std::getenv("INTERCUSP_CUTS");
  const std::uint64_t most = asked ? std::strtoull(asked, nullptr, 10) : 12;
  for (std::uint64_t seed = 1; seed <= most; ++seed) {
    CAPTURE(seed);
    const cut_scenes::Scene scene = cut_scenes::random_scene(seed);
    const double whole = signed_volume(scene.mesh);
    const auto thin = cut_mesh(scene.mesh, scene.surface, 0);
    REQUIRE(thin.ok());
    const double sum = accepted(thin.value().positive) + accepted(thin.value().negative);
    CHECK(std::abs(sum - whole) < 1e-6 * whole);
    const auto sawn = cut_mesh(scene.mesh, scene.surface, scene.kerf_mm);
    REQUIRE(sawn.ok());
    accepted(sawn.value().positive);
    accepted(sawn.value().negative);
  }
}

TEST_CASE("CGAL: a plane cut leaves what CGAL's clipping leaves, and the kerf between") {
  for (std::uint64_t seed = 3; seed <= 12; seed += 3) {
    const cut_scenes::Scene scene = cut_scenes::random_scene(seed);
    const auto sawn = cut_mesh(scene.mesh, scene.surface, scene.kerf_mm);
    REQUIRE(sawn.ok());
    const CutSurface::Facet& plane = scene.surface.facets()[0];
    for (const bool positive : {true, false}) {
      const double way = positive ? 1 : -1;
      const double level = way * (positive ? sawn.value().positive_at_mm : sawn.value().negative_at_mm);
      const Vec3 n = -way * plane.normal;  // CGAL keeps the negative side
      CutPolygons rest = cut_to_cgal(scene.mesh);
      const bool clipped = pmp::clip(rest, CutKernel::Plane_3(n.x(), n.y(), n.z(), way * plane.offset + level),
                                     CGAL::parameters::clip_volume(true));
      REQUIRE(clipped);
      const double expected = CGAL::to_double(pmp::volume(rest));
      const double own = signed_volume(positive ? sawn.value().positive : sawn.value().negative);
      CHECK(std::abs(own - expected) < 1e-6 * signed_volume(scene.mesh));
    }
  }
}

TEST_CASE("CGAL: the pieces of every sample's bones are sound where the bones are") {
  for (const JawRecipe& recipe : sample_recipes()) {
    CAPTURE(recipe.name);
    auto made = case_from_sample(recipe.name, std::nullopt, 20000, true);
    REQUIRE(made.ok());
    Case c = std::move(made).value();
    bool crossed = false;
    for (const char* bone : {"upper_bone", "lower_bone"}) {
      crossed = crossed || pmp::does_self_intersect(cut_to_cgal(c.find_body(bone)->surface->mesh()));
    }
    c.plans.push_back({});
    for (const CutKind kind : {CutKind::lefort1, CutKind::split_right, CutKind::split_left, CutKind::chin}) {
      c.plans[0].entries.push_back(cut_entry(make_osteotomy(kind, {}).value()));
    }
    const auto cut = with_cuts(c, &c.plans[0]);
    REQUIRE_MESSAGE(cut.ok(), (cut.ok() ? "" : cut.error().sentence()));
    for (const Body& body : cut.value().bodies) {
      if (c.find_body(body.name)) continue;
      CAPTURE(body.name);
      accepted(body.surface->mesh(), crossed);
    }
  }
}
