#include "formats/imported_mesh.h"

#include <algorithm>

#include "formats/import_error.h"
#include "geometry/weld.h"

namespace intercusp {
namespace {

// Flat beyond what float coordinates can say about it: height below 1e-10 of the longest side.
bool is_flat(const Mesh& mesh, std::size_t t) {
  const Vec3 a = mesh.corner(t, 0), ab = mesh.corner(t, 1) - a, ac = mesh.corner(t, 2) - a;
  const double longest_squared = std::max({ab.squaredNorm(), ac.squaredNorm(), (ac - ab).squaredNorm()});
  return ab.cross(ac).norm() <= 1e-10 * longest_squared;
}

void add_sentence(std::vector<std::string>& list, std::size_t count, const char* noun, const char* rest) {
  if (count > 0) list.push_back(with_commas(count) + " " + noun + (count == 1 ? "" : "s") + " " + rest);
}

}  // namespace

std::vector<std::string> ImportNotes::sentences() const {
  std::vector<std::string> list;
  add_sentence(list, collapsed_triangles, "triangle", "left out: two corners lie at the same point.");
  add_sentence(list, flat_triangles, "triangle", "kept, though without area.");
  add_sentence(list, unused_vertices, "point", "left out: no triangle uses them.");
  add_sentence(list, split_polygons, "face", "of more than three corners split into triangles.");
  add_sentence(list, short_faces, "face", "left out: fewer than three corners.");
  return list;
}

Result<ImportedMesh> finish_soup(Mesh mesh, std::string format, ImportNotes notes, const std::string& display_name) {
  if (mesh.triangles.empty()) {
    return Error{"the " + format + " file holds no triangles", display_name, "export the scan again as a surface"};
  }
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) notes.flat_triangles += is_flat(mesh, t);
  return ImportedMesh{std::move(mesh), std::move(format), notes};
}

Result<ImportedMesh> finish_indexed(Mesh mesh, std::string format, ImportNotes notes, const std::string& display_name) {
  Welded welded = weld(mesh);
  notes.joined_vertices += welded.report.joined_vertices;
  notes.collapsed_triangles += welded.report.collapsed_triangles;
  notes.unused_vertices += welded.report.unused_vertices;
  return finish_soup(std::move(welded.mesh), std::move(format), notes, display_name);
}

}  // namespace intercusp
