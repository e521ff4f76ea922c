// FCL as its examples use it: a hierarchy of OBB and swept spheres a body, built once, asked in every pose.
#pragma once

#include <fcl/fcl.h>

#include <memory>

#include "geometry/mesh.h"
#include "geometry/sweep.h"

namespace intercusp::bench {

using FclMesh = fcl::BVHModel<fcl::OBBRSSd>;

inline std::shared_ptr<FclMesh> fcl_mesh(const Mesh& mesh) {
  auto model = std::make_shared<FclMesh>();
  std::vector<fcl::Vector3d> points;
  std::vector<fcl::Triangle> triangles;
  for (const Vec3f& p : mesh.positions) points.push_back(p.cast<double>());
  for (const Triangle& t : mesh.triangles) triangles.emplace_back(t[0], t[1], t[2]);
  model->beginModel();
  model->addSubModel(points, triangles);
  model->endModel();
  return model;
}

inline std::size_t fcl_pairs(const FclMesh& a, const Pose& of_a, const FclMesh& b, const Pose& of_b,
                             std::size_t most = 10000000) {
  fcl::CollisionRequestd request(most, false);
  fcl::CollisionResultd result;
  fcl::collide(&a, of_a, &b, of_b, request, result);
  return result.numContacts();
}

inline double fcl_distance(const FclMesh& a, const Pose& of_a, const FclMesh& b, const Pose& of_b) {
  fcl::DistanceRequestd request(true);
  fcl::DistanceResultd result;
  return fcl::distance(&a, of_a, &b, of_b, request, result);
}

/// Where b, moved along the sweep, begins to touch: halves the way until what is left moves no point by a micrometre.
/// It passes a contact that opens again, which the engine does not.
inline double fcl_first_contact(const FclMesh& a, const Pose& of_a, const FclMesh& b, const Pose& of_b,
                                const Sweep& sweep, double touching, double step) {
  double clear = 0;
  while (touching - clear > step) {
    const double middle = 0.5 * (clear + touching);
    (fcl_pairs(a, of_a, b, sweep.after(middle) * of_b, 1) > 0 ? touching : clear) = middle;
  }
  return clear;
}

}  // namespace intercusp::bench
