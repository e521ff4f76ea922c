#pragma once

#include "geometry/types.h"

namespace intercusp {

/// Sign (-1, 0, +1) of ((b - a) x (c - a)) . (d - a): +1 when d lies on the side of the counter-clockwise normal of
/// abc. Exact for finite coordinates: a floating-point filter, then expansion arithmetic (Shewchuk 1997, "Adaptive
/// precision floating-point arithmetic and fast robust geometric predicates"). O(1), some 20 microseconds when the
/// filter fails.
int side_of_plane(const Vec3& a, const Vec3& b, const Vec3& c, const Vec3& d);

/// Exact sign of component `axis` (0..2) of (u1 - u0) x (v1 - v0).
int cross_sign(const Vec3& u0, const Vec3& u1, const Vec3& v0, const Vec3& v1, int axis);

/// The first component x, y, z of (u1 - u0) x (v1 - v0) that is not zero: its exact sign; 0 when the vectors are
/// parallel. This is the sign of the product with the infinitesimal vector (e, e^2, e^3), which breaks ties
/// consistently.
int cross_sign_tie(const Vec3& u0, const Vec3& u1, const Vec3& v0, const Vec3& v1);

}  // namespace intercusp
