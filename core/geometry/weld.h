#pragma once

#include <cstdint>
#include <vector>

#include "geometry/mesh.h"

namespace intercusp {

/// What welding changed.
struct WeldReport {
  std::size_t joined_vertices = 0;      ///< positions that became one with an earlier one
  std::size_t collapsed_triangles = 0;  ///< dropped because two of their corners coincide
  std::size_t unused_vertices = 0;      ///< dropped because no triangle that is left uses them
};

struct Welded {
  Mesh mesh;
  WeldReport report;
};

/// Joins vertices at the same place, drops triangles that collapse by it and vertices that no triangle uses. Kept
/// vertices stay in the order in which triangles first use them; a joined vertex has the colour of the first.
/// `tolerance` 0 joins equal positions only (-0 equals 0); above 0 (mm) a vertex joins the nearest kept one within that
/// distance. Expected O(n). Not for tolerances near the edge length: detail smaller than the tolerance is lost.
Welded weld(const Mesh& mesh, double tolerance = 0);

/// Gives equal positions equal indices, one position at a time: for readers of formats without shared vertices.
/// A hash table with open addressing; about 1 MB for 100,000 vertices.
class VertexWelder {
 public:
  explicit VertexWelder(std::size_t expected_vertices = 0);

  /// Index of `position`, new or known. -0 is stored as 0. Expected O(1).
  std::uint32_t add(const Vec3f& position);

  const std::vector<Vec3f>& positions() const { return positions_; }
  std::vector<Vec3f> take() { return std::move(positions_); }

 private:
  void grow();

  std::vector<Vec3f> positions_;
  std::vector<std::uint32_t> slots_;  ///< index + 1, 0 = free; the size is a power of two
  std::size_t mask_;
};

}  // namespace intercusp
