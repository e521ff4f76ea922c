#pragma once

#include "geometry/cut_levels.h"

namespace intercusp {

/// Closes a clipped mesh along its section, facet by facet: each lid lies in one plane of the cut surface (to a float's
/// last place), neighbouring ones meet along the folds, and where three planes meet within the body there is a corner.
/// `whole` is the mesh that was clipped. False where the section does not bound a lid: the body is open there, passes
/// through itself, or two outlines touch; the mesh is then unfinished. O(k log n) for k section edges, O(n) more where
/// planes meet in corners.
bool add_lids(Clipped& clipped, const CutSurface& surface, double level, const Mesh& whole);

}  // namespace intercusp
