// The glTF 2.0 binary container (Khronos glTF 2.0, section 4.4) and the triangle meshes in it: just what the case file
// and the export of one mesh need. Textures, skins, animations and compression are outside.
#pragma once

#include <cstdint>
#include <vector>

#include <nlohmann/json.hpp>

#include "base/result.h"
#include "geometry/mesh.h"

namespace intercusp {

/// The two chunks of a .glb: the scene description and the bytes that its first buffer holds.
struct GlbDocument {
  nlohmann::json json;
  std::vector<std::uint8_t> bin;
};

/// Takes the container apart. Checks the header, the chunk lengths, that the JSON is well formed, nests at most
/// kMaxJsonDepth levels and says glTF 2. Unknown chunks are skipped. Errors name the byte. Time and memory O(size).
Result<GlbDocument> parse_glb(const std::uint8_t* bytes, std::size_t size);

/// Levels of nesting beyond which a JSON chunk is refused, so that walking the tree cannot exhaust the stack.
constexpr int kMaxJsonDepth = 64;

/// Writes header, JSON chunk and BIN chunk, padded to 4 bytes; the length of buffer 0 follows from `bin`.
/// The document must stay below 4 GiB, the limit of the container.
std::vector<std::uint8_t> serialize_glb(const GlbDocument& document);

/// Appends a mesh of one primitive: positions and indices as stored (f32, u32), colours as COLOR_0 (u16x4, normalised,
/// linear light as glTF asks) when present, tight buffer views with targets and min/max. Makes `asset` and `buffers`
/// when missing. `material` < 0 means none. Returns the index of the mesh, or -1 for a mesh without triangles, which
/// glTF cannot hold. O(n).
int append_mesh(GlbDocument& document, const Mesh& mesh, int material);

/// All triangles of one mesh, its primitives joined, coordinates as stored (no node transform), COLOR_0 back in sRGB.
/// Colours of append_mesh come back bit for bit. Errors name the JSON key. Memory is bounded by the size of `bin`.
Result<Mesh> read_gltf_mesh(const GlbDocument& document, int mesh_index);

/// A node that carries millimetres in the patient frame (x left, y posterior, z superior) to glTF's metres with +Y up
/// and +Z forward: (x, y, z) -> (x, z, -y) / 1000. `children` are indices of nodes.
nlohmann::json metres_y_up_node(const std::vector<int>& children);

}  // namespace intercusp
