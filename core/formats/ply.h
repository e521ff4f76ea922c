#pragma once

#include "formats/imported_mesh.h"

namespace intercusp {

/// Reads PLY 1.0 (Turk 1994) in text and both byte orders: positions x y z, colours red green blue and alpha (bytes, or
/// floats from 0 to 1), faces as lists vertex_indices or vertex_index, polygons cut into fans. Other properties and
/// elements are passed over. O(size).
Result<ImportedMesh> read_ply(const std::uint8_t* bytes, std::size_t size, const std::string& display_name);

}  // namespace intercusp
