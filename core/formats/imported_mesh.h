#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "base/result.h"
#include "geometry/mesh.h"

namespace intercusp {

/// What an import changed or left out, for a person to judge. Text of the file (headers, comments, names of objects,
/// groups and materials) is never kept: names hide there.
struct ImportNotes {
  std::size_t joined_vertices = 0;      ///< corners or vertices that became one with an equal one
  std::size_t collapsed_triangles = 0;  ///< dropped: two corners coincide
  std::size_t flat_triangles = 0;       ///< kept, though they have no area
  std::size_t unused_vertices = 0;      ///< dropped: no triangle uses them
  std::size_t split_polygons = 0;       ///< faces of more than three corners, cut into fans
  std::size_t short_faces = 0;          ///< dropped: fewer than three corners

  /// One sentence each for what deserves attention; joining vertices is ordinary and not mentioned.
  std::vector<std::string> sentences() const;
};

/// A mesh read from a scan file: welded, in the file's own unit and axes.
struct ImportedMesh {
  Mesh mesh;
  std::string format;  ///< "binary STL", "text STL", "PLY" or "OBJ"
  ImportNotes notes;
};

/// Welds what a format with shared vertices gave and does what finish_soup does. O(n).
Result<ImportedMesh> finish_indexed(Mesh mesh, std::string format, ImportNotes notes, const std::string& display_name);

/// Last step of every import, on a welded mesh: counts flat triangles; an Error when no triangle is left. O(n).
Result<ImportedMesh> finish_soup(Mesh mesh, std::string format, ImportNotes notes, const std::string& display_name);

}  // namespace intercusp
