#include "surgery/seating_path.h"

#include <cmath>
#include <limits>
#include <map>
#include <utility>

namespace intercusp {
namespace {

constexpr double kSteepest = 25;  ///< degrees

/// Room between the arch's underside along the way and the top of the slab, within its outline. Columns along the way
/// are made upright by a shear, which keeps volumes.
double swept_room(const Mesh& arch, const HeightMap& top, const HeightMap& outline, const Vec3& off) {
  const Eigen::Vector2d shear = off.head<2>() / off.z();
  HeightMap under = top;
  for (std::size_t n = 0; n < under.size(); ++n) under[n] = std::numeric_limits<float>::quiet_NaN();
  under.lower_to(arch, shear);
  double sum = 0;
  for (std::size_t n = 0; n < under.size(); ++n) {
    if (std::isnan(under[n])) continue;
    // Where the column, followed up along the way, leaves the slab.
    const Eigen::Vector2d at = under.place(n) + shear * static_cast<double>(top[n]);
    const double height = top.between(at.x(), at.y()) - static_cast<double>(under[n]);
    if (height > 0 && outline.between(at.x(), at.y()) <= 0) sum += height;
  }
  return sum * top.spacing() * top.spacing();
}

}  // namespace

Vec3 tilted_way(double forward_deg, double left_deg) {
  return Vec3(std::tan(radians(left_deg)), -std::tan(radians(forward_deg)), 1).normalized();
}

SeatingPath best_path(const Mesh& arch, const HeightMap& top, const HeightMap& outline, const PathSearch& search) {
  std::map<std::pair<double, double>, double> known;  // the search comes back to where it was
  const auto room = [&](double forward, double left) {
    const auto [found, is_new] = known.try_emplace({forward, left}, 0);
    if (is_new) found->second = swept_room(arch, top, outline, tilted_way(forward, left));
    return found->second;
  };
  const auto cost = [&](const SeatingPath& path) {
    return path.swept_mm3 + search.worth_mm3 * (path.forward_deg * path.forward_deg + path.left_deg * path.left_deg);
  };
  SeatingPath best;
  best.swept_mm3 = room(0, 0);
  for (double step = 8; step >= search.finest_deg; step /= 2) {
    for (bool moved = true; moved;) {
      moved = false;
      for (const auto& [df, dl] : {std::pair<double, double>{1, 0}, {-1, 0}, {0, 1}, {0, -1}}) {
        SeatingPath tried = best;
        tried.forward_deg += df * step;
        tried.left_deg += dl * step;
        if (std::hypot(tried.forward_deg, tried.left_deg) > kSteepest) continue;
        tried.swept_mm3 = room(tried.forward_deg, tried.left_deg);
        if (cost(tried) >= cost(best)) continue;
        best = tried;
        moved = true;
      }
    }
  }
  best.off = tilted_way(best.forward_deg, best.left_deg);
  return best;
}

}  // namespace intercusp
