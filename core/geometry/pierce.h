#pragma once

#include "geometry/types.h"

namespace intercusp {

/// How the directed segment pq passes through a triangle.
enum class Passage { none, entering, leaving };

/// Does segment pq pass through triangle abc, and which way (entering: against the counter-clockwise normal)? Exact.
/// Ties are broken by moving the segment by `shift` (+1 or -1) times the infinitesimal vector (e, e^2, e^3): with one
/// shift for a whole body every answer belongs to the same, generic position, so that the edges around a vertex and the
/// triangles around an edge agree. A triangle without area is never passed.
Passage pierce(const Vec3& p, const Vec3& q, const Vec3& a, const Vec3& b, const Vec3& c, int shift);

/// Parameter in [0, 1] of the place where pq meets the plane of abc, for a segment that pierces it.
double pierce_parameter(const Vec3& p, const Vec3& q, const Vec3& a, const Vec3& b, const Vec3& c);

}  // namespace intercusp
