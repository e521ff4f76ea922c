// Small meshes of known shape for the format tests.
#pragma once

#include "geometry/mesh.h"

namespace intercusp {

/// Unit cube, outward triangles: volume 1, area 6.
inline Mesh unit_cube() {
  Mesh m;
  m.positions = {{0, 0, 0}, {1, 0, 0}, {1, 1, 0}, {0, 1, 0}, {0, 0, 1}, {1, 0, 1}, {1, 1, 1}, {0, 1, 1}};
  m.triangles = {{0, 2, 1}, {0, 3, 2}, {4, 5, 6}, {4, 6, 7}, {0, 1, 5}, {0, 5, 4},
                 {1, 2, 6}, {1, 6, 5}, {2, 3, 7}, {2, 7, 6}, {3, 0, 4}, {3, 4, 7}};
  return m;
}

/// The same with a different colour at each corner, dark ones among them.
inline Mesh coloured_cube() {
  Mesh m = unit_cube();
  for (std::size_t i = 0; i < m.positions.size(); ++i) {
    const auto step = static_cast<std::uint8_t>(i);
    m.colours.push_back({step, static_cast<std::uint8_t>(255 - step), static_cast<std::uint8_t>(30 * step),
                         static_cast<std::uint8_t>(128 + step)});
  }
  return m;
}

/// A bumpy closed torus of 2 * rings * sides triangles; `rings * sides` vertices.
inline Mesh torus(std::uint32_t rings, std::uint32_t sides) {
  Mesh m;
  for (std::uint32_t r = 0; r < rings; ++r) {
    for (std::uint32_t s = 0; s < sides; ++s) {
      const double u = 2 * kPi * r / rings, v = 2 * kPi * s / sides;
      const double radius = 25 + (8 + std::sin(7 * u)) * std::cos(v);
      const Vec3 p(radius * std::cos(u), radius * std::sin(u), (8 + std::sin(7 * u)) * std::sin(v));
      m.positions.push_back(p.cast<float>());
    }
  }
  const auto at = [=](std::uint32_t r, std::uint32_t s) { return (r % rings) * sides + s % sides; };
  for (std::uint32_t r = 0; r < rings; ++r) {
    for (std::uint32_t s = 0; s < sides; ++s) {
      m.triangles.push_back({at(r, s), at(r + 1, s), at(r + 1, s + 1)});
      m.triangles.push_back({at(r, s), at(r + 1, s + 1), at(r, s + 1)});
    }
  }
  return m;
}

}  // namespace intercusp
