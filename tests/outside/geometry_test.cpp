// Distances, crossings, sides and volumes held against CGAL (Debian's libcgal-dev), which shares no code with the core.
#include <CGAL/AABB_face_graph_triangle_primitive.h>
#include <CGAL/AABB_traits.h>
#include <CGAL/AABB_tree.h>
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Polygon_mesh_processing/corefinement.h>
#include <CGAL/Polygon_mesh_processing/measure.h>
#include <CGAL/Side_of_triangle_mesh.h>
#include <CGAL/Surface_mesh.h>
#include <doctest/doctest.h>

#include <cstdlib>

#include <limits>

#include "geometry/contact.h"
#include "geometry/shapes.h"
#include "geometry/signed_distance.h"

using namespace intercusp;
using doctest::Approx;

namespace {

using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Point = Kernel::Point_3;
using Polygons = CGAL::Surface_mesh<Point>;
using Tree = CGAL::AABB_tree<CGAL::AABB_traits<Kernel, CGAL::AABB_face_graph_triangle_primitive<Polygons>>>;

Point to_cgal(const Vec3& p) {
  return {p.x(), p.y(), p.z()};
}

Polygons to_cgal(const Mesh& mesh, const Pose& pose) {
  Polygons out;
  for (const Vec3f& p : mesh.positions) out.add_vertex(to_cgal(pose * p.cast<double>()));
  using Vertex = Polygons::Vertex_index;
  for (const Triangle& t : mesh.triangles) out.add_face(Vertex(t[0]), Vertex(t[1]), Vertex(t[2]));
  return out;
}

/// A closed body with bumps and dents: a ball whose radius varies, each vertex jittered along it.
Mesh pebble(shapes::Random& random, double radius, int levels, double roughness) {
  Mesh m = shapes::sphere(Vec3::Zero(), radius, levels);
  const Vec3 wave = random.point(2);
  for (Vec3f& p : m.positions) {
    const double swell = 1 + 0.2 * std::sin(wave.dot(p.cast<double>())) + random.uniform(-roughness, roughness);
    p *= static_cast<float>(swell);
  }
  return m;
}

std::vector<std::pair<std::uint32_t, std::uint32_t>> crossings_by_cgal(const Mesh& a, const Pose& pa, const Mesh& b,
                                                                       const Pose& pb) {
  const auto triangle = [](const Mesh& m, const Pose& pose, std::size_t t) {
    return Kernel::Triangle_3(to_cgal(pose * m.corner(t, 0)), to_cgal(pose * m.corner(t, 1)),
                              to_cgal(pose * m.corner(t, 2)));
  };
  std::vector<Kernel::Triangle_3> second;
  for (std::size_t t = 0; t < b.triangles.size(); ++t) second.push_back(triangle(b, pb, t));
  std::vector<std::pair<std::uint32_t, std::uint32_t>> found;
  for (std::uint32_t s = 0; s < a.triangles.size(); ++s) {
    const auto first = triangle(a, pa, s);
    for (std::uint32_t t = 0; t < second.size(); ++t) {
      if (CGAL::do_overlap(first.bbox(), second[t].bbox()) && CGAL::do_intersect(first, second[t])) {
        found.push_back({s, t});
      }
    }
  }
  return found;
}

}  // namespace

// INTERCUSP_POINTS in the environment asks for more points (tests/long.sh: 100,000).
TEST_CASE("CGAL: unsigned distance within 1e-9, side of every point") {
  const char* asked = std::getenv("INTERCUSP_POINTS");
  const int points = asked ? std::atoi(asked) : 5000;
  shapes::Random random(41);
  const Mesh mesh = pebble(random, 5, 5, 0.01);
  const SurfacePtr surface = Surface::make(mesh);
  const Polygons polygons = to_cgal(mesh, Pose::Identity());
  Tree tree(faces(polygons).first, faces(polygons).second, polygons);
  tree.accelerate_distance_queries();
  const CGAL::Side_of_triangle_mesh<Polygons, Kernel> side(polygons);
  int inside = 0;
  for (int i = 0; i < points; ++i) {
    const Vec3 q = random.point(7);
    SignedDistance d;
    REQUIRE(signed_distance(*surface, q, std::numeric_limits<double>::infinity(), d));
    CHECK(std::abs(d.distance_mm) == Approx(std::sqrt(tree.squared_distance(to_cgal(q)))).epsilon(1e-9));
    CHECK((d.side == Side::inside) == (side(to_cgal(q)) == CGAL::ON_BOUNDED_SIDE));
    inside += d.side == Side::inside;
  }
  CHECK(inside > 500);
}

TEST_CASE("CGAL: the same pairs of triangles intersect") {
  shapes::Random random(42);
  for (int i = 0; i < 8; ++i) {
    const Mesh a = pebble(random, 3, 3, 0.05), b = pebble(random, 2, 3, 0.05);
    const Pose pa = random.pose(1), pb = random.pose(2.5);
    const ContactResult r = find_contact(*Surface::make(a), pa, *Surface::make(b), pb, {});
    CHECK(r.crossings == crossings_by_cgal(a, pa, b, pb));
    CHECK(r.crossings.size() > 20);
  }
}

TEST_CASE("CGAL: touching and coplanar triangles are counted alike") {
  const Mesh a = shapes::box({0, 0, 0}, {2, 2, 2});
  for (const Vec3& by : {Vec3(2, 0, 0), Vec3(1, 1, 0), Vec3(2, 2, 2), Vec3(0.5, 0.25, 2), Vec3(0, 0, 0)}) {
    const Pose moved = shapes::shifted(by);
    const ContactResult r = find_contact(*Surface::make(a), Pose::Identity(), *Surface::make(a), moved, {});
    CHECK(r.crossings == crossings_by_cgal(a, Pose::Identity(), a, moved));
  }
}

TEST_CASE("CGAL: the overlap has the volume of the corefined intersection") {
  namespace pmp = CGAL::Polygon_mesh_processing;
  shapes::Random random(43);
  int several = 0;
  for (int i = 0; i < 12; ++i) {
    const Mesh a = pebble(random, 3, 4, 0.01), b = pebble(random, 2, 4, 0.01);
    const Pose pa = random.pose(1), pb = random.pose(2.5);
    const ContactResult r = find_contact(*Surface::make(a), pa, *Surface::make(b), pb, {});
    Polygons first = to_cgal(a, pa), second = to_cgal(b, pb), common;
    REQUIRE(pmp::corefine_and_compute_intersection(first, second, common));
    REQUIRE(r.overlap_volume_mm3.has_value());
    CHECK(*r.overlap_volume_mm3 == Approx(CGAL::to_double(pmp::volume(common))).epsilon(1e-6));
    several += r.regions.size() > 1;
  }
  MESSAGE("cases with several regions: " << several);
}
