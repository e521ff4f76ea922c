#pragma once

#include "formats/imported_mesh.h"

namespace intercusp {

/// Reads the surfaces of a Wavefront OBJ: `v x y z [w] [r g b [a]]`, `f` with v, v/vt, v//vn or v/vt/vn, indices from 1
/// or negative from the last, polygons cut into fans, all objects and groups as one mesh. Colours are kept when every
/// vertex has one (0 to 1, or 0 to 255). Everything else is passed over. O(size).
Result<ImportedMesh> read_obj(const std::uint8_t* bytes, std::size_t size, const std::string& display_name);

}  // namespace intercusp
