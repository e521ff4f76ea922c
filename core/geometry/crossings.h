#pragma once

#include <vector>

#include "geometry/close_pairs.h"
#include "geometry/pierce.h"
#include "geometry/posed_pair.h"

namespace intercusp {

constexpr std::uint32_t kNone = 0xFFFFFFFFu;

/// An edge of one body passing through a triangle of the other.
struct Piercing {
  std::uint8_t body = 0;            ///< whose edge: 0 first, 1 second
  std::uint32_t low = 0, high = 0;  ///< the edge, lower vertex first
  std::uint32_t triangle = 0;       ///< of the other body
  double t = 0;                     ///< 0 at `low`, 1 at `high`
  Vec3 point = Vec3::Zero();        ///< common frame
  Passage passage = Passage::none;  ///< going from `low` to `high`
  bool border = false;              ///< the edge lies on the open border of its body
};

/// Two triangles that cross. On the first body's triangle, seen from outside, the part inside the second body lies to
/// the left of the way from `start` to `end`, both indices into `piercings`; kNone where the crossing runs out.
struct CrossingPair {
  std::uint32_t first = 0, second = 0;
  std::uint32_t start = kNone, end = kNone;
};

/// Two triangles that come near each other without crossing.
struct NearPair {
  std::uint32_t first = 0, second = 0;
};

/// All places where the surfaces of two bodies cross or come near. Everything sorted; see `find_crossings`.
struct Crossings {
  std::vector<std::pair<std::uint32_t, std::uint32_t>> touching;  ///< pairs that share a point, exactly
  std::vector<CrossingPair> pairs;                                ///< pairs that cross in the generic position
  std::vector<Piercing> piercings;                                ///< by body, edge, then along the edge
  std::vector<NearPair> near;                                     ///< within the distance asked, not touching
};

/// Touching pairs are exact for the posed, rounded vertices. `pairs` and `piercings` are those of the generic position
/// in which one body is moved by an infinitesimal amount (see `pierce`): there every crossing curve closes or ends at
/// an open border. `close` must hold every pair of blocks that come within `near_mm`, and may hold more; the answer is
/// the same. O(k log k) for k pairs of blocks.
Crossings find_crossings(const PosedPair& pair, double near_mm, const std::vector<BlockPair>& close);

}  // namespace intercusp
