#include "geometry/triangle_pair.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "geometry/exact_sign.h"
#include "geometry/pierce.h"
#include "geometry/triangle_closest.h"

namespace intercusp {
namespace {

using Signs = std::array<int, 3>;

Signs sides(const Corners& plane, const Corners& of) {
  return {side_of_plane(plane[0], plane[1], plane[2], of[0]), side_of_plane(plane[0], plane[1], plane[2], of[1]),
          side_of_plane(plane[0], plane[1], plane[2], of[2])};
}

bool all_beyond(const Signs& s) {
  return s[0] != 0 && s[0] == s[1] && s[1] == s[2];
}
bool all_zero(const Signs& s) {
  return s[0] == 0 && s[1] == 0 && s[2] == 0;
}

/// An axis along which the normal does not vanish; -1 for a triangle without area.
int normal_axis(const Corners& t) {
  for (int axis = 0; axis < 3; ++axis) {
    if (cross_sign(t[0], t[1], t[0], t[2], axis) != 0) return axis;
  }
  return -1;
}

/// Segment pq with ends on opposite sides of (or one end in) the plane of t: does it meet t?
bool line_meets(const Vec3& p, const Vec3& q, const Corners& t) {
  const int s0 = side_of_plane(p, q, t[0], t[1]), s1 = side_of_plane(p, q, t[1], t[2]);
  if (s0 * s1 < 0) return false;
  const int s2 = side_of_plane(p, q, t[2], t[0]);
  return s0 * s2 >= 0 && s1 * s2 >= 0;
}

bool edge_meets(const Corners& of, std::size_t k, const Signs& signs, const Corners& t) {
  const int sp = signs[k], sq = signs[(k + 1) % 3];
  if (sp * sq > 0 || (sp == 0 && sq == 0)) return false;
  return line_meets(of[k], of[(k + 1) % 3], t);
}

/// Sign of the turn p, q, r seen along `axis`.
int turn(const Vec3& p, const Vec3& q, const Vec3& r, int axis) {
  return cross_sign(p, q, p, r, axis);
}

bool within(const Vec3& p, const Corners& t, int axis) {
  const int a = turn(t[0], t[1], p, axis), b = turn(t[1], t[2], p, axis), c = turn(t[2], t[0], p, axis);
  return (a >= 0 && b >= 0 && c >= 0) || (a <= 0 && b <= 0 && c <= 0);
}

bool coplanar_edges_cross(const Vec3& p, const Vec3& q, const Vec3& u, const Vec3& v, int axis) {
  return turn(p, q, u, axis) * turn(p, q, v, axis) < 0 && turn(u, v, p, axis) * turn(u, v, q, axis) < 0;
}

bool coplanar_meet(const Corners& a, const Corners& b, int axis) {
  for (std::size_t k = 0; k < 3; ++k) {
    if (within(a[k], b, axis) || within(b[k], a, axis)) return true;
    for (std::size_t m = 0; m < 3; ++m) {
      if (coplanar_edges_cross(a[k], a[(k + 1) % 3], b[m], b[(m + 1) % 3], axis)) return true;
    }
  }
  return false;
}

/// Farthest two of the points seen.
class Extremes {
 public:
  void add(const Vec3& p) {
    if (count_ == 0) segment_ = {p, p};
    const double from = (p - segment_.from).squaredNorm(), to = (p - segment_.to).squaredNorm();
    const double now = (segment_.to - segment_.from).squaredNorm();
    if (from > now && from >= to) segment_.to = p;
    if (to > now && to > from) segment_.from = p;
    ++count_;
  }
  std::optional<Segment> segment() const { return count_ > 0 ? std::optional<Segment>(segment_) : std::nullopt; }

 private:
  Segment segment_;
  int count_ = 0;
};

/// Nearest points of segments pq and uv (Ericson 2005, section 5.1.9).
void nearest_on_segments(const Vec3& p, const Vec3& q, const Vec3& u, const Vec3& v, TriangleGap& best) {
  const Vec3 d1 = q - p, d2 = v - u, r = p - u;
  const double a = d1.squaredNorm(), e = d2.squaredNorm(), f = d2.dot(r), c = d1.dot(r), b = d1.dot(d2);
  const double denominator = a * e - b * b;
  double s = denominator > 0 ? std::clamp((b * f - c * e) / denominator, 0.0, 1.0) : 0.0;
  double t = e > 0 ? (b * s + f) / e : 0.0;
  if (t < 0 || t > 1) {
    t = std::clamp(t, 0.0, 1.0);
    s = a > 0 ? std::clamp((b * t - c) / a, 0.0, 1.0) : 0.0;
  }
  const Vec3 on_first = p + s * d1, on_second = u + t * d2;
  const double distance_sq = (on_first - on_second).squaredNorm();
  if (distance_sq < best.distance_mm) best = {distance_sq, on_first, on_second};
}

Vec3 shared_point(const Corners& a, const Corners& b) {
  if (const auto segment = shared_segment(a, b)) return 0.5 * (segment->from + segment->to);
  for (const Vec3& p : a) {  // coplanar: a corner in the other triangle, or two edges that cross
    if (closest_on_triangle(b[0], b[1], b[2], p).distance_sq == 0) return p;
  }
  TriangleGap best{std::numeric_limits<double>::infinity(), a[0], a[0]};
  for (const Vec3& p : b) {
    const TrianglePoint on = closest_on_triangle(a[0], a[1], a[2], p);
    if (on.distance_sq < best.distance_mm) best = {on.distance_sq, on.point, p};
  }
  for (std::size_t k = 0; k < 3; ++k) {
    for (std::size_t m = 0; m < 3; ++m) nearest_on_segments(a[k], a[(k + 1) % 3], b[m], b[(m + 1) % 3], best);
  }
  return best.on_first;
}

}  // namespace

bool triangles_intersect(const Corners& a, const Corners& b) {
  const Signs of_b = sides(a, b);
  if (all_beyond(of_b)) return false;
  const Signs of_a = sides(b, a);
  if (all_beyond(of_a)) return false;
  if (all_zero(of_a) || all_zero(of_b)) {
    const int axis = normal_axis(a);
    return axis >= 0 && normal_axis(b) >= 0 && coplanar_meet(a, b, axis);
  }
  for (std::size_t k = 0; k < 3; ++k) {
    if (edge_meets(a, k, of_a, b) || edge_meets(b, k, of_b, a)) return true;
  }
  return false;
}

std::optional<Segment> shared_segment(const Corners& a, const Corners& b) {
  const Signs of_b = sides(a, b), of_a = sides(b, a);
  if (all_zero(of_a) || all_zero(of_b)) return std::nullopt;
  Extremes extremes;
  for (std::size_t k = 0; k < 3; ++k) {
    const Vec3 &p = a[k], &q = a[(k + 1) % 3], &u = b[k], &v = b[(k + 1) % 3];
    if (edge_meets(a, k, of_a, b)) extremes.add(p + pierce_parameter(p, q, b[0], b[1], b[2]) * (q - p));
    if (edge_meets(b, k, of_b, a)) extremes.add(u + pierce_parameter(u, v, a[0], a[1], a[2]) * (v - u));
  }
  return extremes.segment();
}

TriangleGap triangle_distance(const Corners& a, const Corners& b) {
  if (triangles_intersect(a, b)) {
    const Vec3 p = shared_point(a, b);
    return {0, p, p};
  }
  TriangleGap best{std::numeric_limits<double>::infinity(), a[0], b[0]};  // squared until the end
  for (std::size_t k = 0; k < 3; ++k) {
    const TrianglePoint on_b = closest_on_triangle(b[0], b[1], b[2], a[k]);
    if (on_b.distance_sq < best.distance_mm) best = {on_b.distance_sq, a[k], on_b.point};
    const TrianglePoint on_a = closest_on_triangle(a[0], a[1], a[2], b[k]);
    if (on_a.distance_sq < best.distance_mm) best = {on_a.distance_sq, on_a.point, b[k]};
    for (std::size_t m = 0; m < 3; ++m) nearest_on_segments(a[k], a[(k + 1) % 3], b[m], b[(m + 1) % 3], best);
  }
  best.distance_mm = std::sqrt(best.distance_mm);
  return best;
}

bool within_distance(const Corners& a, const Corners& b, double limit_mm) {
  const double limit_sq = limit_mm * limit_mm;
  for (std::size_t k = 0; k < 3; ++k) {
    if (closest_on_triangle(b[0], b[1], b[2], a[k]).distance_sq <= limit_sq) return true;
    if (closest_on_triangle(a[0], a[1], a[2], b[k]).distance_sq <= limit_sq) return true;
  }
  TriangleGap best{std::numeric_limits<double>::infinity(), a[0], b[0]};
  for (std::size_t k = 0; k < 3; ++k) {
    for (std::size_t m = 0; m < 3; ++m) nearest_on_segments(a[k], a[(k + 1) % 3], b[m], b[(m + 1) % 3], best);
    if (best.distance_mm <= limit_sq) return true;  // squared
  }
  return false;
}

}  // namespace intercusp
