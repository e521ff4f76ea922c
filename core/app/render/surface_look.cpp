#include "app/render/surface_look.h"

#include "app/render/cluster.h"
#include "geometry/vertex_shading.h"

namespace intercusp {

namespace {

constexpr std::size_t kLightTriangles = 9000;

}  // namespace

SurfaceLookPtr make_look(const Surface& surface, std::vector<Opened> opened) {
  SurfaceLook look;
  look.cavity = cavity_shading(surface);
  look.light_indices = clustered_indices(surface.mesh(), kLightTriangles);
  look.opened = std::move(opened);
  return std::make_shared<const SurfaceLook>(std::move(look));
}

}  // namespace intercusp
