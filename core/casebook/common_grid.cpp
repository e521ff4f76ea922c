#include "casebook/common_grid.h"

#include <cmath>

namespace intercusp {
namespace {

/// Finer than the float of a coordinate beyond 64 mm, and so coarse that hardly ever two builds round apart.
constexpr double kVertexGrid = 65536;
constexpr double kLandmarkGrid = 4194304;

}  // namespace

void put_on_common_grid(Mesh& mesh) {
  for (Vec3f& p : mesh.positions) {
    p = ((p.cast<double>() * kVertexGrid).array().round() / kVertexGrid).matrix().cast<float>();
    p += Vec3f::Zero();  // no negative zeros
  }
}

void put_on_common_grid(LandmarkSet& landmarks) {
  for (auto& [name, landmark] : landmarks) {
    landmark.at = ((landmark.at * kLandmarkGrid).array().round() / kLandmarkGrid).matrix();
    landmark.at += Vec3::Zero();
  }
}

}  // namespace intercusp
