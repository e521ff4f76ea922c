// A case small enough to reason about by hand: two tetrahedra for arches, and the landmarks that the first measures
// need.
#pragma once

#include "casebook/case.h"

namespace intercusp::test {

inline Mesh tetrahedron(const Vec3f& at) {
  Mesh mesh;
  mesh.positions = {at, at + Vec3f(5, 0, 0), at + Vec3f(0, 5, 0), at + Vec3f(0, 0, 5)};
  mesh.triangles = {{0, 2, 1}, {0, 1, 3}, {0, 3, 2}, {1, 2, 3}};
  return mesh;
}

/// Landmarks already in the patient frame: the incisal midpoint is the origin, the occlusal plane z = 0.
inline Case small_case() {
  Case c;
  c.id = "small";
  c.bodies.push_back(make_body("upper_arch", Surface::make(tetrahedron({0, 0, 0}))));
  c.bodies.push_back(make_body("lower_arch", Surface::make(tetrahedron({0, 0, -20}))));
  const std::pair<const char*, Vec3> points[] = {
      {"11.incisal_edge_mid", {-4, 0, 0}},       {"21.incisal_edge_mid", {4, 0, 0}},
      {"16.mesiobuccal_cusp", {-26, 30, 0}},     {"26.mesiobuccal_cusp", {26, 30, 0}},
      {"11.incisal_edge_labial", {-4, -1, 0.5}}, {"21.incisal_edge_labial", {4, -1, 0.5}},
      {"41.incisal_edge_mid", {-3, 3, 2}},       {"31.incisal_edge_mid", {3, 3, 2}},
      {"41.incisal_edge_labial", {-3, 2, 2}},    {"31.incisal_edge_labial", {3, 2, 2}}};
  for (const auto& [name, at] : points) c.landmarks[name] = {at, true};
  c.frame_known = true;
  return c;
}

}  // namespace intercusp::test
