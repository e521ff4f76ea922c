#pragma once

#include <functional>

#include "geometry/mesh.h"

namespace intercusp {

/// The surface of the solid in which a function is negative, as far as it lies in `box`: every part of it, closed and
/// manifold whatever the step (where the solid reaches the box it is closed half a step outside). Marching tetrahedra
/// (six to a cell of the grid, so that nothing is ambiguous); vertices lie where the function is zero between two
/// corners if it is linear there. Of a distance, the surface is off by at most step^2 / (8 R) on a curve of radius R
/// and half a step at a sharp edge. Deterministic. O(cells).
Mesh level_mesh(const std::function<double(const Vec3&)>& value, const Box& box, double step_mm);

}  // namespace intercusp
