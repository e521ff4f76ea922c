#pragma once

#include <string>
#include <vector>

#include "geometry/mesh.h"

namespace intercusp {

/// What may be wrong with a mesh.
struct MeshCheck {
  std::size_t vertices = 0, triangles = 0;
  std::size_t unused_vertices = 0;
  std::size_t open_edges = 0;            ///< edges of one triangle only
  std::size_t crowded_edges = 0;         ///< edges shared by three or more triangles
  std::size_t turned_edges = 0;          ///< edges whose two triangles disagree about which side is outside
  std::size_t components = 0;            ///< connected parts
  std::size_t degenerate_triangles = 0;  ///< without area, or naming a vertex twice
  std::size_t duplicate_triangles = 0;   ///< exact repeats of an earlier triangle
  std::size_t inward_shells = 0;  ///< closed parts whose triangles face inward and that lie in no other part's box
  std::size_t not_finite = 0;     ///< positions that are not numbers
  Vec3 size_mm = Vec3::Zero();    ///< of the bounding box
  double area_mm2 = 0;

  bool closed() const { return triangles > 0 && open_edges == 0 && crowded_edges == 0 && turned_edges == 0; }
};

/// O(n).
MeshCheck check_mesh(const Mesh& mesh);

/// The findings that matter to a person, each a sentence that says what it means or what to do. Empty for a sound
/// closed mesh; an open border alone is told, since scans have one.
std::vector<std::string> findings(const MeshCheck& check);

}  // namespace intercusp
