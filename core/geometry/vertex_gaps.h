#pragma once

#include <vector>

#include "geometry/posed_pair.h"

namespace intercusp {

/// Signed gap of every vertex of one body to the other one.
struct VertexGaps {
  std::vector<double> gap_mm;          ///< negative inside; NaN beyond the band and where no triangle uses the vertex
  std::vector<std::uint32_t> nearest;  ///< triangle of the other body, or kNoTriangle
};

/// Gaps of the vertices of `body` (0 or 1) up to `band_mm`, none where that is 0, on two threads where there are two.
/// `gaps` may hold the answer for another pose of the same two bodies: then the same answer is found sooner, the more
/// so the nearer that pose is. O(v log n) for v vertices near the other body.
void find_vertex_gaps(const PosedPair& pair, std::size_t body, double band_mm, VertexGaps& gaps);

/// The point of the other body's triangle `nearest` closest to a point of the common frame, in the common frame.
Vec3 nearest_on_other(const PosedPair& pair, std::size_t body, std::uint32_t nearest, const Vec3& point);

}  // namespace intercusp
