#pragma once

#include "geometry/lanes.h"

namespace intercusp {

/// Round plates that hold a patch of surface each, four side by side: centre, unit axis (the patch's mean normal),
/// radius about the axis and half the thickness along it. A patch of a smooth surface fits a thin plate far more
/// closely than a box that is not turned with it, and a plate turns with its body.
struct alignas(16) Plates {
  Vec4 centre, axis;
  Float4 radius, half;
};

/// Share of |centre - query|^2 by which rounding can make a squared distance too large.
constexpr float kPlateSlack = 4e-6f;

/// Squared distances of a point from four plates, never too large.
inline Float4 distance_sq(const Plates& p, const Vec4& query) {
  const Float4 zero = {0, 0, 0, 0};
  const Vec4 d = p.centre - query;
  const Float4 along = dot(p.axis, d), whole = dot(d, d);
  const Float4 across = greater(root(greater(whole - along * along, zero)) - p.radius, zero);
  const Float4 above = greater(magnitude(along) - p.half, zero);
  return across * across + above * above - kPlateSlack * whole;
}

/// How four plates look from a point: their distances, never too large, and which way they grow fastest there.
struct PlateView {
  Float4 distance;
  Vec4 away;     ///< unit; no number where the point lies in the plate
  Float4 doubt;  ///< what rounding may do to `away`
};

inline PlateView view_of(const Plates& p, const Vec4& query) {
  const Float4 zero = {0, 0, 0, 0};
  const Vec4 d = p.centre - query;
  const Float4 along = dot(p.axis, d), whole = dot(d, d);
  const Float4 out = root(greater(whole - along * along, zero));
  const Float4 across = greater(out - p.radius, zero), above = greater(magnitude(along) - p.half, zero);
  const Float4 square = across * across + above * above, length = root(square);
  const Float4 share = across > zero ? across / out : zero, up = along > zero ? above : -above;
  const Vec4 toward = (up - share * along) * p.axis + share * d;
  return {root(greater(square - kPlateSlack * whole, zero)), (-1 / length) * toward,
          1e-4f * (1 + root(whole)) / length};
}

/// Squared distances of one plate (in all lanes, same frame) from four others, never too large.
inline Float4 distance_sq(const Plates& one, const Plates& p) {
  const Float4 zero = {0, 0, 0, 0};
  const Vec4 d = p.centre - one.centre;
  const Float4 whole = dot(d, d), cosine = magnitude(dot(one.axis, p.axis));
  const Float4 sine = root(greater(1 - cosine * cosine, zero) + 2e-6f);
  const Float4 along_p = magnitude(dot(p.axis, d)), along_one = magnitude(dot(one.axis, d));
  // How far each plate reaches along the axis of the other, and across it.
  const Float4 one_up = one.half * cosine + one.radius * sine, one_out = one.radius + one.half * sine;
  const Float4 p_up = p.half * cosine + p.radius * sine;
  const Float4 above = greater(along_p - p.half - one_up, zero);
  const Float4 across = greater(root(greater(whole - along_p * along_p, zero)) - p.radius - one_out, zero);
  const Float4 other = greater(along_one - one.half - p_up, zero);
  return greater(above * above + across * across, other * other) - kPlateSlack * whole;
}

}  // namespace intercusp
