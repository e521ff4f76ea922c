// An edge of a mesh as the key of a map.
#pragma once

#include <algorithm>
#include <cstdint>

namespace intercusp {

/// The same for both directions.
inline std::uint64_t edge_key(std::uint32_t a, std::uint32_t b) {
  return (static_cast<std::uint64_t>(std::min(a, b)) << 32) | std::max(a, b);
}

}  // namespace intercusp
