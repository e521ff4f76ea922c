#include "geometry/exact_sign.h"

#include <cmath>

namespace intercusp {
namespace {

/// A number as high + low without rounding.
struct Two {
  double high, low;
};

Two two_sum(double a, double b) {
  const double s = a + b, bb = s - a;
  return {s, (a - (s - bb)) + (b - bb)};
}

Two two_difference(double a, double b) {
  return two_sum(a, -b);
}

Two split(double a) {
  const double c = 134217729.0 * a, high = c - (c - a);  // 2^27 + 1
  return {high, a - high};
}

Two two_product(double a, double b) {
  const double p = a * b;
  const Two x = split(a), y = split(b);
  return {p, x.low * y.low - (((p - x.high * y.high) - x.low * y.high) - x.high * y.low)};
}

/// Sum of many doubles without rounding, kept as non-overlapping parts of growing size.
class ExactSum {
 public:
  void add(double value) {
    if (value == 0) return;
    int kept = 0;
    for (int i = 0; i < count_; ++i) {
      const Two s = two_sum(value, parts_[i]);
      if (s.low != 0) parts_[kept++] = s.low;
      value = s.high;
    }
    if (value != 0) parts_[kept++] = value;
    count_ = kept;
  }
  int sign() const {
    if (count_ == 0) return 0;
    return parts_[count_ - 1] > 0 ? 1 : -1;
  }

 private:
  double parts_[256];
  int count_ = 0;
};

// Differences of stored coordinates are mostly without rounding, above all where faces lie on each other and every sign
// comes to this: their low parts are zero, and what a zero multiplies is left out.

/// Adds sign * x * y.
void add_product(ExactSum& sum, double sign, Two x, Two y) {
  for (const double a : {x.high, x.low}) {
    if (a == 0) continue;
    for (const double b : {y.high, y.low}) {
      if (b == 0) continue;
      const Two p = two_product(sign * a, b);
      sum.add(p.low);
      sum.add(p.high);
    }
  }
}

/// Adds sign * x * y * z.
void add_product(ExactSum& sum, double sign, Two x, Two y, Two z) {
  for (const double a : {x.high, x.low}) {
    if (a == 0) continue;
    for (const double b : {y.high, y.low}) {
      if (b == 0) continue;
      const Two p = two_product(sign * a, b);
      add_product(sum, 1, p, z);
    }
  }
}

int exact_side(const Vec3& a, const Vec3& b, const Vec3& c, const Vec3& d) {
  Two u[3], v[3], w[3];
  for (int i = 0; i < 3; ++i) {
    u[i] = two_difference(b[i], a[i]);
    v[i] = two_difference(c[i], a[i]);
    w[i] = two_difference(d[i], a[i]);
  }
  ExactSum sum;
  for (int i = 0; i < 3; ++i) {
    const int j = (i + 1) % 3, k = (i + 2) % 3;
    add_product(sum, 1, u[j], v[k], w[i]);
    add_product(sum, -1, u[k], v[j], w[i]);
  }
  return sum.sign();
}

int sign_of(double x) {
  return (x > 0) - (x < 0);
}

constexpr double kEpsilon = 1.1102230246251565e-16;  // 2^-53

}  // namespace

int side_of_plane(const Vec3& a, const Vec3& b, const Vec3& c, const Vec3& d) {
  const Vec3 u = b - a, v = c - a, w = d - a;
  const double m0 = u.y() * v.z(), m1 = u.z() * v.y(), m2 = u.z() * v.x();
  const double m3 = u.x() * v.z(), m4 = u.x() * v.y(), m5 = u.y() * v.x();
  const double det = w.x() * (m0 - m1) + w.y() * (m2 - m3) + w.z() * (m4 - m5);
  const double size = std::abs(w.x()) * (std::abs(m0) + std::abs(m1)) +
                      std::abs(w.y()) * (std::abs(m2) + std::abs(m3)) + std::abs(w.z()) * (std::abs(m4) + std::abs(m5));
  const double bound = (7.0 + 56.0 * kEpsilon) * kEpsilon * size;
  if (det > bound) return 1;
  if (det < -bound) return -1;
  return exact_side(a, b, c, d);
}

int cross_sign(const Vec3& u0, const Vec3& u1, const Vec3& v0, const Vec3& v1, int axis) {
  const int j = (axis + 1) % 3, k = (axis + 2) % 3;
  const double left = (u1[j] - u0[j]) * (v1[k] - v0[k]), right = (u1[k] - u0[k]) * (v1[j] - v0[j]);
  const double det = left - right;
  if (std::abs(det) > (3.0 + 16.0 * kEpsilon) * kEpsilon * (std::abs(left) + std::abs(right))) return sign_of(det);
  ExactSum sum;
  add_product(sum, 1, two_difference(u1[j], u0[j]), two_difference(v1[k], v0[k]));
  add_product(sum, -1, two_difference(u1[k], u0[k]), two_difference(v1[j], v0[j]));
  return sum.sign();
}

int cross_sign_tie(const Vec3& u0, const Vec3& u1, const Vec3& v0, const Vec3& v1) {
  for (int axis = 0; axis < 3; ++axis) {
    if (const int s = cross_sign(u0, u1, v0, v1, axis)) return s;
  }
  return 0;
}

}  // namespace intercusp
