// What every reader of scans promises, whatever bytes it was given.
#pragma once

#include "formats/mesh_reader.h"
#include "formats/mesh_writer.h"
#include "require.h"

namespace intercusp {

inline void require_sound(const Mesh& mesh) {
  FUZZ_REQUIRE(mesh.colours.empty() || mesh.colours.size() == mesh.positions.size());
  for (const Vec3f& p : mesh.positions) FUZZ_REQUIRE(p.allFinite());
  for (const Triangle& t : mesh.triangles) {
    for (const std::uint32_t v : t) FUZZ_REQUIRE(v < mesh.positions.size());
  }
}

/// A mesh that is sound, welded, no larger than a fixed multiple of the input, and that an STL of it gives back;
/// or an Error with words and a remedy.
inline void require_promises(const Result<ImportedMesh>& result, std::size_t input_size) {
  if (!result) {
    FUZZ_REQUIRE(!result.error().what.empty() && !result.error().where.empty() && !result.error().remedy.empty());
    return;
  }
  const Mesh& mesh = result.value().mesh;
  require_sound(mesh);
  FUZZ_REQUIRE(!mesh.triangles.empty());
  FUZZ_REQUIRE(mesh.positions.size() <= input_size && mesh.triangles.size() <= input_size);
  for (const Triangle& t : mesh.triangles) FUZZ_REQUIRE(t[0] != t[1] && t[1] != t[2] && t[2] != t[0]);
  const std::vector<std::uint8_t> stl = write_stl(mesh);
  const Result<ImportedMesh> again = read_mesh(stl.data(), stl.size(), "again");
  FUZZ_REQUIRE(again.ok() && again.value().mesh.triangles == mesh.triangles);
  FUZZ_REQUIRE(again.value().mesh.positions == mesh.positions);
}

}  // namespace intercusp
