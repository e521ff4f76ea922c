#include "geometry/mesh_check.h"

#include <doctest/doctest.h>

#include <limits>

#include "shapes.h"

using namespace intercusp;
using doctest::Approx;

TEST_CASE("a sound closed mesh has no findings") {
  const MeshCheck check = check_mesh(shapes::box({0, 0, 0}, {1, 2, 3}));
  CHECK(check.closed());
  CHECK(check.components == 1);
  CHECK((check.size_mm - Vec3(1, 2, 3)).norm() == Approx(0));
  CHECK(check.area_mm2 == Approx(22));
  CHECK(findings(check).empty());
}

TEST_CASE("each fault is counted and told") {
  Mesh m = shapes::box({0, 0, 0}, {1, 1, 1});
  m.triangles.erase(m.triangles.begin());
  CHECK(check_mesh(m).open_edges == 3);
  CHECK(findings(check_mesh(m)).at(0) ==
        "3 open edges: the surface has a border, so an overlap that reaches it has a depth but no volume.");

  Mesh turned = shapes::box({0, 0, 0}, {1, 1, 1});
  std::swap(turned.triangles[4][0], turned.triangles[4][1]);
  CHECK(check_mesh(turned).turned_edges == 3);
  CHECK_FALSE(check_mesh(turned).closed());

  Mesh inside_out = shapes::joined(shapes::box({0, 0, 0}, {1, 1, 1}), shapes::box({5, 5, 5}, {6, 6, 6}));
  for (std::size_t t = 0; t < 12; ++t) std::swap(inside_out.triangles[t][0], inside_out.triangles[t][1]);
  CHECK(check_mesh(inside_out).inward_shells == 1);
  CHECK(check_mesh(inside_out).components == 2);

  Mesh hollow = shapes::joined(shapes::box({1, 1, 1}, {2, 2, 2}), shapes::box({0, 0, 0}, {3, 3, 3}));
  for (std::size_t t = 0; t < 12; ++t) std::swap(hollow.triangles[t][0], hollow.triangles[t][1]);
  CHECK(check_mesh(hollow).inward_shells == 0);

  Mesh crowded = shapes::box({0, 0, 0}, {1, 1, 1});
  crowded.positions.emplace_back(2.0f, 2.0f, 2.0f);
  crowded.triangles.push_back({0, 1, 8});
  CHECK(check_mesh(crowded).crowded_edges == 1);
  CHECK(check_mesh(crowded).open_edges == 2);
}

TEST_CASE("faces without area, repeats, lost vertices and wrong numbers are counted") {
  Mesh m = shapes::box({0, 0, 0}, {1, 1, 1});
  m.triangles.push_back({m.triangles[3][1], m.triangles[3][2], m.triangles[3][0]});
  m.triangles.push_back({2, 2, 5});
  m.positions.emplace_back(0.0f, std::numeric_limits<float>::quiet_NaN(), 0.0f);
  const MeshCheck check = check_mesh(m);
  CHECK(check.duplicate_triangles == 1);
  CHECK(check.degenerate_triangles == 1);
  CHECK(check.unused_vertices == 1);
  CHECK(check.not_finite == 1);
  CHECK(check.closed());
  CHECK(findings(check).size() == 4);
  CHECK(findings(check_mesh({})).at(0) == "The surface has no triangles.");
}
