#pragma once

#include <cstdint>
#include <memory>
#include <vector>

#include "geometry/surface.h"

namespace intercusp {

/// What drawing a surface needs besides the mesh; worked out once.
struct SurfaceLook {
  std::vector<float> cavity;                 ///< per vertex, see cavity_shading
  std::vector<std::uint32_t> light_indices;  ///< a lighter form of the mesh for use while it turns
};
using SurfaceLookPtr = std::shared_ptr<const SurfaceLook>;

/// O(n log n): some tens of milliseconds for 100,000 triangles.
SurfaceLookPtr make_look(const Surface& surface);

}  // namespace intercusp
