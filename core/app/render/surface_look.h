#pragma once

#include <cstdint>
#include <memory>
#include <vector>

#include "geometry/surface.h"

namespace intercusp {

/// Of a vertex: whole bone; on a face that the saw made; where bone was cut back.
enum class Opened : std::int8_t { whole = 0, sawn = 1, cut_back = -1 };

/// What drawing a surface needs besides the mesh; worked out once.
struct SurfaceLook {
  std::vector<float> cavity;                 ///< per vertex, see cavity_shading
  std::vector<std::uint32_t> light_indices;  ///< a lighter form of the mesh for use while it turns
  std::vector<Opened> opened = {};           ///< per vertex; empty: all whole. A triangle is what its three corners are
};
using SurfaceLookPtr = std::shared_ptr<const SurfaceLook>;

/// O(n log n): some tens of milliseconds for 100,000 triangles.
SurfaceLookPtr make_look(const Surface& surface, std::vector<Opened> opened = {});

}  // namespace intercusp
