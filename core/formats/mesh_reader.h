#pragma once

#include "formats/imported_mesh.h"

namespace intercusp {

/// Reads a scan: binary STL, text STL, PLY or OBJ, told apart by content, never by the file's name or the word `solid`
/// alone. Lengths are in the file's own unit (see units.h). `display_name` is used in messages only. Errors say what is
/// wrong, at which byte or line, and what to do. Time O(size), memory bounded by a multiple of the size.
Result<ImportedMesh> read_mesh(const std::uint8_t* bytes, std::size_t size, const std::string& display_name);

}  // namespace intercusp
