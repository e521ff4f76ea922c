#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "geometry/mesh.h"

namespace intercusp {

/// 3MF core specification 1.3: one solid in millimetres under this title, decimals that read back to the same floats,
/// colours left out. The mesh should be closed: a model that is not is no 3MF solid. O(n).
std::vector<std::uint8_t> write_3mf(const Mesh& mesh, const std::string& title);

}  // namespace intercusp
