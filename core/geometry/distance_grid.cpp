#include "geometry/distance_grid.h"

#include <cmath>
#include <limits>

#include "base/parallel.h"
#include "geometry/signed_distance.h"

namespace intercusp {

DistanceGrid::DistanceGrid(const Surface& surface, const Box& region, double spacing_mm, double limit_mm)
    : low_(region.min()), spacing_(spacing_mm) {
  std::size_t nodes = 1;
  for (std::size_t axis = 0; axis < 3; ++axis) {
    count_[axis] = static_cast<long>(std::ceil(region.sizes()[static_cast<int>(axis)] / spacing_mm)) + 1;
    nodes *= static_cast<std::size_t>(count_[axis]);
  }
  distance_.assign(nodes, std::numeric_limits<float>::quiet_NaN());
  in_halves(nodes, 1000, [&](std::size_t begin, std::size_t end) {
    std::uint32_t hint = kNoTriangle;  // the node before lies beside this one, but for the ends of rows
    for (std::size_t n = begin; n < end; ++n) {
      const long at = static_cast<long>(n), row = at / count_[0];
      const Vec3 p = low_ + spacing_ * Vec3(static_cast<double>(at % count_[0]), static_cast<double>(row % count_[1]),
                                            static_cast<double>(row / count_[1]));
      SignedDistance found;
      if (!signed_distance_from(surface, p, limit_mm, hint, found)) continue;
      hint = found.nearest.triangle;
      if (found.side == Side::unknown) continue;
      distance_[n] = static_cast<float>(found.distance_mm);
    }
  });
}

bool DistanceGrid::at(const Vec3& p, double& distance_mm, Vec3& gradient) const {
  const Vec3 cell = (p - low_) / spacing_;
  std::array<long, 3> i{};
  Vec3 t;
  for (std::size_t axis = 0; axis < 3; ++axis) {
    const double x = cell[static_cast<int>(axis)];
    if (!(x >= 0) || x >= static_cast<double>(count_[axis] - 1)) return false;
    i[axis] = static_cast<long>(x);
    t[static_cast<int>(axis)] = x - static_cast<double>(i[axis]);
  }
  // The two values along x on each of the four edges, then along y, then along z.
  std::array<double, 4> value{}, slope{};
  for (std::size_t e = 0; e < 4; ++e) {
    const long j = i[1] + static_cast<long>(e & 1), k = i[2] + static_cast<long>(e >> 1);
    const double a = node(i[0], j, k), b = node(i[0] + 1, j, k);
    value[e] = a + t.x() * (b - a);
    slope[e] = b - a;
  }
  const double front = value[0] + t.y() * (value[1] - value[0]), back = value[2] + t.y() * (value[3] - value[2]);
  distance_mm = front + t.z() * (back - front);
  if (!std::isfinite(distance_mm)) return false;
  const double slope_front = slope[0] + t.y() * (slope[1] - slope[0]);
  const double slope_back = slope[2] + t.y() * (slope[3] - slope[2]);
  gradient.x() = slope_front + t.z() * (slope_back - slope_front);
  gradient.y() = (value[1] - value[0]) * (1 - t.z()) + (value[3] - value[2]) * t.z();
  gradient.z() = back - front;
  gradient /= spacing_;
  return true;
}

}  // namespace intercusp
