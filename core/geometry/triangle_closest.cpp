#include "geometry/triangle_closest.h"

namespace intercusp {
namespace {

TrianglePoint at(const Vec3& point, const Vec3& p, int feature) {
  return {point, (point - p).squaredNorm(), feature};
}

TrianglePoint on_edge(const Vec3& a, const Vec3& b, double t, const Vec3& p, int k) {
  if (!(t > 0)) return at(a, p, k);
  if (t >= 1) return at(b, p, (k + 1) % 3);
  return at(a + t * (b - a), p, 3 + k);
}

TrianglePoint on_outline(const Vec3& a, const Vec3& b, const Vec3& c, const Vec3& p) {
  TrianglePoint best = on_edge(a, b, closest_on_segment(a, b, p), p, 0);
  const TrianglePoint bc = on_edge(b, c, closest_on_segment(b, c, p), p, 1);
  if (bc.distance_sq < best.distance_sq) best = bc;
  const TrianglePoint ca = on_edge(c, a, closest_on_segment(c, a, p), p, 2);
  if (ca.distance_sq < best.distance_sq) best = ca;
  return best;
}

}  // namespace

double closest_on_segment(const Vec3& a, const Vec3& b, const Vec3& p) {
  const Vec3 ab = b - a;
  const double along = ab.dot(p - a), length_sq = ab.squaredNorm();
  if (!(along > 0)) return 0;
  return along < length_sq ? along / length_sq : 1;
}

TrianglePoint closest_on_triangle(const Vec3& a, const Vec3& b, const Vec3& c, const Vec3& p) {
  const Vec3 ab = b - a, ac = c - a, ap = p - a;
  const double d1 = ab.dot(ap), d2 = ac.dot(ap);
  if (d1 <= 0 && d2 <= 0) return at(a, p, 0);
  const Vec3 bp = p - b;
  const double d3 = ab.dot(bp), d4 = ac.dot(bp);
  if (d3 >= 0 && d4 <= d3) return at(b, p, 1);
  const Vec3 cp = p - c;
  const double d5 = ab.dot(cp), d6 = ac.dot(cp);
  if (d6 >= 0 && d5 <= d6) return at(c, p, 2);
  const double vc = d1 * d4 - d3 * d2;
  if (vc <= 0 && d1 >= 0 && d3 <= 0 && d1 > d3) return on_edge(a, b, d1 / (d1 - d3), p, 0);
  const double vb = d5 * d2 - d1 * d6;
  if (vb <= 0 && d2 >= 0 && d6 <= 0 && d2 > d6) return on_edge(c, a, 1 - d2 / (d2 - d6), p, 2);
  const double va = d3 * d6 - d5 * d4;
  const double along = d4 - d3, back = d5 - d6;
  if (va <= 0 && along >= 0 && back >= 0 && along + back > 0) return on_edge(b, c, along / (along + back), p, 1);
  const double sum = va + vb + vc;
  // A sliver so thin that its barycentric coordinates carry no digits is as good as its outline.
  if (!(sum > 1e-22 * ab.squaredNorm() * ac.squaredNorm())) return on_outline(a, b, c, p);
  return at(a + ab * (vb / sum) + ac * (vc / sum), p, 6);
}

}  // namespace intercusp
