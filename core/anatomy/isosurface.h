// Turns an implicit solid into a closed triangle mesh.
#pragma once

#include <functional>

#include "geometry/mesh.h"

namespace intercusp {

/// A solid: negative inside, positive outside, close to the distance in mm near the surface.
class ScalarField {
 public:
  virtual ~ScalarField() = default;
  virtual double value(const Vec3& p) const = 0;
};

/// Surface nets on a grid of the given step over `box`, which must enclose the solid: one vertex a cell, moved onto the
/// surface. Only the part connected to the surface found on the way from `inside` along -x is made. The result is
/// closed and manifold whatever the step (thin gaps below the step are filled), without colours, and empty when
/// `inside` is not inside the solid. Vertices lie on the surface within 0.005 mm where it is smooth. O(surface /
/// step^2).
Mesh polygonise(const ScalarField& field, const Box& box, double step, const Vec3& inside);

/// The same with the step chosen so that the number of triangles is within 10% of `triangles`.
Mesh polygonise_to_count(const ScalarField& field, const Box& box, std::size_t triangles, const Vec3& inside);

}  // namespace intercusp
