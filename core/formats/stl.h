// STL as the original 3D-printing specification gave it: triangles without shared vertices, units or colour. Stored
// normals and attribute words are ignored; the order of the corners says which side is out.
#pragma once

#include "formats/imported_mesh.h"

namespace intercusp {

/// Whether the size is that which a binary STL's own triangle count asks for: 84 + 50 n bytes. The word at the start
/// proves nothing: binary files begin with `solid` too.
bool has_binary_stl_size(const std::uint8_t* bytes, std::size_t size);

/// Reads a binary STL whose size fits; otherwise an Error that tells promised and real size. O(n).
Result<ImportedMesh> read_binary_stl(const std::uint8_t* bytes, std::size_t size, const std::string& display_name);

/// Reads an STL in text; several solids become one mesh. O(n).
Result<ImportedMesh> read_text_stl(const std::uint8_t* bytes, std::size_t size, const std::string& display_name);

}  // namespace intercusp
