#pragma once

#include <optional>
#include <utility>
#include <vector>

#include "geometry/types.h"

namespace intercusp {

using PolygonEdge = std::pair<std::uint32_t, std::uint32_t>;  ///< from, to: the region lies to the left

/// Triangulates a region of the plane, several outlines and holes at once, without new points. Counter-clockwise
/// triangles, none without area. Empty where the edges bound no region: they cross or touch, or a point has not
/// exactly one edge in and one out. Exact for the coordinates given (every decision is an exact sign); a sweep from
/// high y to low, in which every stretch inside keeps the chain of corners that is still open above it (Hertel and
/// Mehlhorn 1983, "Fast triangulation of simple polygons"). O(n log n), times the width of the region in edges.
std::optional<std::vector<Triangle>> fill_polygon(const std::vector<Eigen::Vector2d>& points,
                                                  const std::vector<PolygonEdge>& edges);

/// Turns the inner edges of such a triangulation until it has no needlessly thin triangles (constrained Delaunay, up to
/// rounding). A thin triangle over three corners in one line would lean any way once its corners are rounded in space.
void flip_to_round(const std::vector<Eigen::Vector2d>& points, std::vector<Triangle>& triangles);

}  // namespace intercusp
