#pragma once

#include "geometry/surface.h"

namespace intercusp {

enum class Side { outside, inside, unknown };

/// Where a point lies with respect to a surface, in the surface's own frame, mm.
struct SignedDistance {
  double distance_mm = 0;  ///< negative inside; positive where the side is unknown
  Side side = Side::outside;
  ClosestPoint nearest;  ///< its distance is not signed
};

/// Signed distance of `query` when the surface is within `limit_mm`; false otherwise. The sign is that of the
/// angle-weighted pseudonormal of the nearest feature (Baerentzen & Aanaes 2005, "Signed distance computation using the
/// angle weighted pseudonormal"), which is right for every closed surface that does not pass through itself. Where the
/// nearest feature lies on an open border the side is `unknown`. Where the nearest triangle has no area or turns back
/// sharply on its neighbour, which in scans mostly is a surface that passes through itself, a closed surface falls back
/// on its winding number, an open one on `unknown`. O(log n) typical.
bool signed_distance(const Surface& surface, const Vec3& query, double limit_mm, SignedDistance& out);

/// Same answer, found sooner when triangle `hint` is near the closest one; kNoTriangle for none.
bool signed_distance_from(const Surface& surface, const Vec3& query, double limit_mm, std::uint32_t hint,
                          SignedDistance& out);

/// Which side of the surface `query` lies on, its closest point being known.
Side side_of(const Surface& surface, const Vec3& query, const ClosestPoint& nearest);

/// How many times a closed surface winds around the point: 1 inside, 0 outside; exact (the point is moved by an
/// infinitesimal amount where it lies on the surface). Without meaning for open surfaces. O(sqrt n) typical.
int winding_number(const Surface& surface, const Vec3& query);

}  // namespace intercusp
