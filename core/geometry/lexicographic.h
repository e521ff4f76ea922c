#pragma once

#include <algorithm>

#include "geometry/types.h"

namespace intercusp {

/// A fixed order of points, first by x, then y, then z, so that ties are settled the same way on every machine.
inline bool lexicographically_before(const Vec3& a, const Vec3& b) {
  return std::lexicographical_compare(a.data(), a.data() + 3, b.data(), b.data() + 3);
}

}  // namespace intercusp
