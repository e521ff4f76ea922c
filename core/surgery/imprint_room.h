// Where a splint comes too near to an arch by all triangles of both, and room made there without loss elsewhere.
#pragma once

#include "geometry/surface.h"
#include "geometry/triangle_pair.h"
#include "surgery/splint_solid.h"

namespace intercusp {

/// A triangle of a splint that comes too near to an arch, and the nearest points: on_first on the splint.
struct TightSpot {
  std::uint32_t triangle = 0;
  SplintPart part = SplintPart::outside;  ///< the imprint of the arch that is too near
  TriangleGap gap;
};

/// Triangles of the splint, of those with a corner in `fresh`, that come nearer to either arch than `least_mm`. Exact.
/// O(n log n), on two threads.
std::vector<TightSpot> tight_spots(const Mesh& splint, const std::vector<char>& fresh, const SplintParts& parts,
                                   double least_mm);

/// Puts a vertex at each spot, `clearance_mm` off the arch: a new one in the triangle or on its edge, else its corner.
/// New and moved vertices become fresh. Spots that touch the arch, or whose triangle is divided by another spot
/// already, are left. O(triangles).
void make_room_at(SplintSolid& solid, const std::vector<TightSpot>& spots, double clearance_mm,
                  std::vector<char>& fresh);

/// Puts a vertex at each spot's point on the splint and moves it to the spot's other point; as above.
void move_at(SplintSolid& solid, const std::vector<TightSpot>& spots, std::vector<char>& fresh);

}  // namespace intercusp
