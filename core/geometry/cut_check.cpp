#include "geometry/cut_check.h"

#include <algorithm>

#include "geometry/exact_sign.h"
#include "geometry/triangle_pair.h"

namespace intercusp {
namespace {

struct BoxedTriangle {
  Eigen::AlignedBox3f box;
  std::uint32_t triangle;
};

Corners corners_of(const Mesh& mesh, std::uint32_t t) {
  return {mesh.corner(t, 0), mesh.corner(t, 1), mesh.corner(t, 2)};
}

/// The same in one plane, seen along a coordinate axis in which the triangle has area.
bool coplanar_segment_meets(const Vec3& p, const Vec3& q, const Corners& t) {
  int axis = 0;
  while (axis < 2 && cross_sign(t[0], t[1], t[0], t[2], axis) == 0) ++axis;
  const auto turn = [axis](const Vec3& a, const Vec3& b, const Vec3& c) { return cross_sign(a, b, a, c, axis); };
  bool inside_all = true;
  const int way = turn(t[0], t[1], t[2]);
  for (std::size_t k = 0; k < 3; ++k) {
    const Vec3 &a = t[k], &b = t[(k + 1) % 3];
    const int sp = turn(a, b, p), sq = turn(a, b, q), sa = turn(p, q, a), sb = turn(p, q, b);
    if (sp * sq <= 0 && sa * sb <= 0 && (sp != 0 || sq != 0)) return true;
    inside_all = inside_all && sp * way >= 0;
  }
  return inside_all;
}

/// Does the segment share a point with the triangle?
bool segment_meets(const Vec3& p, const Vec3& q, const Corners& t) {
  const int sp = side_of_plane(t[0], t[1], t[2], p), sq = side_of_plane(t[0], t[1], t[2], q);
  if (sp * sq > 0) return false;
  if (sp == 0 && sq == 0) return coplanar_segment_meets(p, q, t);
  const int a = side_of_plane(p, q, t[0], t[1]), b = side_of_plane(p, q, t[1], t[2]),
            c = side_of_plane(p, q, t[2], t[0]);
  return (a >= 0 && b >= 0 && c >= 0) || (a <= 0 && b <= 0 && c <= 0);
}

bool pair_crosses(const Mesh& mesh, std::uint32_t s, std::uint32_t t) {
  std::size_t shared = 0, in_s = 0, in_t = 0;
  for (std::size_t i = 0; i < 3; ++i) {
    for (std::size_t k = 0; k < 3; ++k) {
      if (mesh.triangles[s][i] != mesh.triangles[t][k]) continue;
      ++shared;
      in_s = i;
      in_t = k;
    }
  }
  if (shared > 1) return false;
  const Corners a = corners_of(mesh, s), b = corners_of(mesh, t);
  if (shared == 0) return triangles_intersect(a, b);
  return segment_meets(a[(in_s + 1) % 3], a[(in_s + 2) % 3], b) ||
         segment_meets(b[(in_t + 1) % 3], b[(in_t + 2) % 3], a);
}

}  // namespace

bool new_triangles_cross(const Mesh& mesh, std::uint32_t first_new) {
  std::vector<BoxedTriangle> list;
  Eigen::AlignedBox3f all;
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
    const Triangle& k = mesh.triangles[t];
    if (std::max({k[0], k[1], k[2]}) < first_new) continue;
    BoxedTriangle boxed{{}, t};
    for (const std::uint32_t v : k) boxed.box.extend(mesh.positions[v]);
    all.extend(boxed.box);
    list.push_back(boxed);
  }
  if (list.empty()) return false;
  int axis = 0;
  all.sizes().maxCoeff(&axis);
  std::sort(list.begin(), list.end(), [axis](const BoxedTriangle& a, const BoxedTriangle& b) {
    const float p = a.box.min()[axis], q = b.box.min()[axis];
    return p < q || (p == q && a.triangle < b.triangle);
  });
  std::vector<std::size_t> open;  // may still overlap what comes
  for (std::size_t i = 0; i < list.size(); ++i) {
    const float from = list[i].box.min()[axis];
    open.erase(std::remove_if(open.begin(), open.end(), [&](std::size_t k) { return list[k].box.max()[axis] < from; }),
               open.end());
    for (const std::size_t k : open) {
      if (list[k].box.intersects(list[i].box) && pair_crosses(mesh, list[k].triangle, list[i].triangle)) return true;
    }
    open.push_back(i);
  }
  return false;
}

}  // namespace intercusp
