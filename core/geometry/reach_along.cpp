#include "geometry/reach_along.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace intercusp {

ReachAlong::ReachAlong(const PosedPair& pair, std::size_t body, const Vec3& direction)
    : bvh_(pair.surface[body]->bvh()),
      direction_(pair.pose[body].linear().transpose() * direction),
      offset_(direction.dot(pair.pose[body].translation())) {
  for (std::uint32_t level = 0; level <= std::min(kHighest, bvh_.top_level()); ++level) {
    known_[level].assign(bvh_.count(level), std::numeric_limits<double>::quiet_NaN());
  }
}

double ReachAlong::of(Bvh::Place place) {
  double& known = known_[place.level][place.index];
  if (!std::isnan(known)) return known;
  if (place.level == 0) return known = of_block(place.index);
  double farthest = -std::numeric_limits<double>::infinity();
  const std::uint32_t end = std::min(4 * place.index + 4, bvh_.count(place.level - 1));
  for (std::uint32_t child = 4 * place.index; child < end; ++child) {
    farthest = std::max(farthest, of({place.level - 1, child}));
  }
  return known = farthest;
}

double ReachAlong::of_block(std::uint32_t block) const {
  double farthest = -std::numeric_limits<double>::infinity();
  const std::uint32_t end = std::min(4 * block + 4, static_cast<std::uint32_t>(bvh_.order().size()));
  for (std::uint32_t slot = 4 * block; slot < end; ++slot) {
    for (int k = 0; k < 3; ++k) farthest = std::max(farthest, direction_.dot(bvh_.corner(slot, k)));
  }
  return farthest + offset_;
}

}  // namespace intercusp
