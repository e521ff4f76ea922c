#include "casebook/common_grid.h"

#include <cmath>

namespace intercusp {
namespace {

/// Finer than the float of a coordinate beyond 64 mm, and so coarse that hardly ever two builds round apart.
constexpr double kVertexGrid = 65536;
constexpr double kLandmarkGrid = 4194304;

Vec3 on_grid(const Vec3& p, double per_mm) {
  return ((p * per_mm).array().round() / per_mm + 0.0).matrix();  // adding zero leaves no negative one
}

}  // namespace

void put_on_common_grid(Mesh& mesh) {
  for (Vec3f& p : mesh.positions) p = on_grid(p.cast<double>(), kVertexGrid).cast<float>();
}

void put_on_common_grid(LandmarkSet& landmarks) {
  for (auto& [name, landmark] : landmarks) landmark.at = on_grid(landmark.at, kLandmarkGrid);
}

}  // namespace intercusp
