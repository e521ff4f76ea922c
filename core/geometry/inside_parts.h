#pragma once

#include "geometry/crossings.h"
#include "geometry/vertex_gaps.h"

namespace intercusp {

/// A stretch of an edge that lies inside the other body.
struct InnerSpan {
  std::uint32_t from = kNone, to = kNone;  ///< piercings; kNone where the stretch reaches the edge's vertex
  double t_from = 0, t_to = 1;
};

/// An edge that the other body's surface crosses.
struct CrossedEdge {
  std::uint8_t body = 0;
  std::uint32_t low = 0, high = 0;
  std::vector<InnerSpan> spans;
  std::vector<std::uint32_t> along;  ///< its piercings in order
  bool starts_inside = false, ends_inside = false;
  bool regular = true;  ///< in and out take turns; otherwise the other body is open or passes through itself
};

/// A connected part of one body's surface inside the other, as far as its vertices go.
struct InsidePart {
  std::uint8_t body = 0;
  std::vector<std::uint32_t> vertices;
  bool reaches_border = false;  ///< some vertex lies on its own body's open border
  bool guessed = false;         ///< told by the sign of the gaps only: nothing closes the part off
};

struct InsideParts {
  std::vector<CrossedEdge> edges;  ///< sorted by body, low, high
  std::vector<InsidePart> parts;
  std::array<std::vector<std::uint32_t>, 2> part_of;                ///< per vertex: index into `parts` or kNone
  std::vector<std::pair<std::uint32_t, std::uint32_t>> coincident;  ///< piercings of one edge at one place, in and out

  const CrossedEdge* crossed(std::size_t body, std::uint32_t a, std::uint32_t b) const;
};

/// Which vertices lie inside the other body. Crossings decide: what the crossing curves cut off is wholly inside or
/// wholly outside. Shells that cross nothing are decided by the winding number where the other body is closed, and by
/// the sign of the gap vertex by vertex where it is open. O(v) in the vertices inside, O(n) where boxes overlap.
InsideParts find_inside_parts(const PosedPair& pair, const Crossings& crossings, const std::array<VertexGaps, 2>& gaps);

}  // namespace intercusp
