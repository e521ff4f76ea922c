#pragma once

#include "geometry/lanes.h"
#include "geometry/triangle_pair.h"

namespace intercusp {

/// Four triangles side by side.
struct alignas(16) TriangleBlock {
  Vec4 a, b, c;

  Corners corners(std::size_t lane) const {
    const int l = static_cast<int>(lane);
    return {Vec3(a.x[l], a.y[l], a.z[l]), Vec3(b.x[l], b.y[l], b.z[l]), Vec3(c.x[l], c.y[l], c.z[l])};
  }
};

/// Squared distances of the origin from four segments that begin at p and run along `along`.
inline Float4 segments_distance_sq(const Vec4& p, const Vec4& along) {
  const Float4 zero = {0, 0, 0, 0}, one = {1, 1, 1, 1};
  const Float4 t = lesser(greater(-dot(p, along) / dot(along, along), zero), one);  // no length: 0/0 becomes 0
  const Vec4 at = p + t * along;
  return dot(at, at);
}

/// Squared distances of a point from four triangles, to rounding; too small where rounding hides that the foot of a
/// sliver lies beside it.
inline Float4 distance_sq(const TriangleBlock& block, const Vec4& query) {
  const Float4 zero = {0, 0, 0, 0};
  const Vec4 a = block.a - query, b = block.b - query, c = block.c - query;
  const Vec4 ab = block.b - block.a, bc = block.c - block.b, ca = block.a - block.c;
  const Float4 outline =
      lesser(segments_distance_sq(a, ab), lesser(segments_distance_sq(b, bc), segments_distance_sq(c, ca)));
  const Vec4 normal = cross(ab, bc);
  const Float4 height = dot(a, normal), plane = height * height / dot(normal, normal);
  const Float4 within = lesser(dot(cross(a, ab), normal), lesser(dot(cross(b, bc), normal), dot(cross(c, ca), normal)));
  return within >= zero ? lesser(plane, outline) : outline;
}

}  // namespace intercusp
