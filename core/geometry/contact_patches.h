#pragma once

#include "geometry/contact.h"
#include "geometry/crossings.h"
#include "geometry/overlap.h"
#include "geometry/vertex_gaps.h"

namespace intercusp {

/// Connected places where the gap is at or below `contact_mm`, least gap first. A place is made of vertices of either
/// body, joined along mesh edges, and of pairs of triangles that touch or come that near, so that a contact between two
/// edges or between a corner and a large face is found without any vertex of the first body. Its area is where the
/// linearly interpolated gap is at or below the limit (error of second order in the edge length), taken on the body
/// that has more vertices in contact there (the two surfaces lie within `contact_mm` of each other); 0 where neither
/// has any. O(k log k) for k vertices and pairs in contact. `crossings` must hold the near pairs up to `contact_mm`.
std::vector<ContactPatch> find_contact_patches(const PosedPair& pair, const Crossings& crossings,
                                               const std::array<VertexGaps, 2>& gaps, const Overlap& overlap,
                                               double contact_mm);

}  // namespace intercusp
