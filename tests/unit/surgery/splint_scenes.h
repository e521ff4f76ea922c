// Arches to make splints for, and what must hold for each.
#pragma once

#include <doctest/doctest.h>

#include <cmath>

#include "anatomy/sample_jaws.h"
#include "geometry/contact.h"
#include "geometry/mesh_check.h"
#include "geometry/self_crossings.h"
#include "geometry/shapes.h"
#include "geometry/signed_distance.h"
#include "surgery/splint.h"

namespace intercusp::splint_scenes {

struct Scene {
  SplintRequest request;
};

inline Scene of_jaws(const SampleJaws& jaws, const Pose& upper, const Pose& lower) {
  Scene scene;
  for (const SampleBody& body : jaws.bodies) {
    if (body.name == "upper_arch") scene.request.upper = transformed(body.mesh, upper);
    if (body.name == "lower_arch") scene.request.lower = transformed(body.mesh, lower);
  }
  return scene;
}

/// A sample with the lower arch let down.
inline Scene of_sample(const char* name, std::uint32_t triangles, double down_mm) {
  JawRecipe recipe = find_sample(name).value();
  recipe.triangles = triangles;
  const auto jaws = make_sample(recipe);
  REQUIRE(jaws.ok());
  return of_jaws(jaws.value(), Pose::Identity(), Pose(Eigen::Translation3d(0, 0, -down_mm)));
}

/// Random jaws, the upper one moved and turned as in a plan, the lower one opened by up to 4 mm.
inline Scene random_scene(std::uint64_t seed, std::uint32_t triangles) {
  shapes::Random random(seed * 7919 + 5);
  JawRecipe recipe = random_recipe(seed);
  recipe.triangles = triangles;
  const auto jaws = make_sample(recipe);
  REQUIRE(jaws.ok());
  Pose upper = Pose(Eigen::Translation3d(random.uniform(-1.5, 1.5), random.uniform(-4, 2), random.uniform(0, 2)));
  for (const Vec3& axis : {Vec3(Vec3::UnitX()), Vec3(Vec3::UnitY()), Vec3(Vec3::UnitZ())}) {
    upper = upper * Eigen::AngleAxisd(radians(random.uniform(-2, 2)), axis);
  }
  return of_jaws(jaws.value(), upper, Pose(Eigen::Translation3d(0, 0, -random.uniform(1, 4))));
}

/// No triangles in common, and no vertex of the splint inside the arch.
inline void check_clear(const Mesh& arch, const Splint& splint) {
  const SurfacePtr body = Surface::make(arch), solid = Surface::make(splint.mesh);
  ContactSettings settings;
  settings.band_mm = 0.5;
  const ContactResult found = find_contact(*solid, Pose::Identity(), *body, Pose::Identity(), settings);
  CHECK(found.crossings.empty());
}

/// Vertices in the middle of an imprint: all around them belongs to it.
inline std::vector<char> inner_vertices(SplintPart part, const Splint& splint) {
  std::vector<char> inner(splint.part.size(), 1);
  for (const Triangle& t : splint.mesh.triangles) {
    const bool whole = splint.part[t[0]] == part && splint.part[t[1]] == part && splint.part[t[2]] == part;
    for (const std::uint32_t v : t) inner[v] = inner[v] && whole;
  }
  return inner;
}

/// A third of the area of the triangles around each vertex: what a vertex stands for on the surface, however finely the
/// places around it are divided.
inline std::vector<double> areas_around(const Mesh& mesh) {
  std::vector<double> area(mesh.positions.size(), 0.0);
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    const Vec3 a = mesh.corner(t, 0), b = mesh.corner(t, 1), c = mesh.corner(t, 2);
    for (const std::uint32_t v : mesh.triangles[t]) area[v] += (b - a).cross(c - a).norm() / 6;
  }
  return area;
}

/// Clearance at the splint's own imprint: outside blocked undercuts (a vertex whose nearest place on the arch faces the
/// way off) within 0.02 mm on all of its area but ridges sharper than the grid, and never nearer than that.
inline void check_clearance(const Mesh& arch, const SplintSeat& seat, SplintPart part, const Splint& splint,
                            double clearance, double off_share) {
  const SurfacePtr body = Surface::make(arch);
  const std::vector<char> inner = inner_vertices(part, splint);
  const std::vector<double> area = areas_around(splint.mesh);
  std::size_t seen = 0;
  double imprint = 0, off = 0, least = 1e9;
  for (std::size_t v = 0; v < splint.part.size(); ++v) {
    if (splint.part[v] != part) continue;
    SignedDistance found;
    if (!signed_distance(*body, splint.mesh.positions[v].cast<double>(), 3, found)) continue;
    least = std::min(least, found.nearest.distance_mm);
    const Vec3 away = splint.mesh.positions[v].cast<double>() - found.nearest.point;
    if (!inner[v] || away.dot(seat.off) > -0.02 * found.nearest.distance_mm) continue;
    ++seen;
    imprint += area[v];
    if (std::abs(found.nearest.distance_mm - clearance) > 0.02) off += area[v];
  }
  CHECK(least > clearance - 0.02);
  REQUIRE(seen > 1000);
  CAPTURE(off);
  CAPTURE(imprint);
  CHECK(off < off_share * imprint);
}

/// `off_share`: of the imprint that may stand off by more than the clearance and 0.02 mm, at ridges.
inline void check(const Scene& scene, const Splint& splint, double off_share = 0.02) {
  const MeshCheck mesh = check_mesh(splint.mesh);
  CHECK(mesh.closed());
  CHECK(mesh.components == 1);
  CHECK(self_crossings(splint.mesh).empty());
  CHECK(splint.volume_mm3 > 500);
  CHECK(std::abs(splint.volume_mm3 - signed_volume(splint.mesh)) < 1e-3 * splint.volume_mm3);
  const double clearance = scene.request.settings.clearance_mm;
  check_clear(scene.request.upper, splint);
  check_clear(scene.request.lower, splint);
  check_clearance(scene.request.upper, splint.upper, SplintPart::upper_imprint, splint, clearance, off_share);
  check_clearance(scene.request.lower, splint.lower, SplintPart::lower_imprint, splint, clearance, off_share);
  CHECK(splint.upper.seats);
  CHECK(splint.lower.seats);
}

}  // namespace intercusp::splint_scenes
