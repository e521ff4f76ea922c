#include "geometry/pierce.h"

#include <algorithm>

#include "geometry/exact_sign.h"

namespace intercusp {
namespace {

int shifted_side(const Vec3& a, const Vec3& b, const Vec3& c, const Vec3& p, int shift) {
  if (const int s = side_of_plane(a, b, c, p)) return s;
  return shift * cross_sign_tie(a, b, a, c);
}

/// Sign of ((q - p) x (u - p)) . (v - p) with p and q shifted.
int shifted_turn(const Vec3& p, const Vec3& q, const Vec3& u, const Vec3& v, int shift) {
  if (const int s = side_of_plane(p, q, u, v)) return s;
  return shift * cross_sign_tie(p, q, u, v);
}

}  // namespace

Passage pierce(const Vec3& p, const Vec3& q, const Vec3& a, const Vec3& b, const Vec3& c, int shift) {
  const int sp = shifted_side(a, b, c, p, shift), sq = shifted_side(a, b, c, q, shift);
  if (sp == 0 || sq == 0 || sp == sq) return Passage::none;
  const int turn = shifted_turn(p, q, a, b, shift);
  if (turn == 0 || shifted_turn(p, q, b, c, shift) != turn || shifted_turn(p, q, c, a, shift) != turn) {
    return Passage::none;
  }
  return sp > 0 ? Passage::entering : Passage::leaving;
}

double pierce_parameter(const Vec3& p, const Vec3& q, const Vec3& a, const Vec3& b, const Vec3& c) {
  const Vec3 normal = (b - a).cross(c - a);
  const double from = normal.dot(p - a), to = normal.dot(q - a), whole = from - to;
  if (whole == 0) return 0.5;
  return std::clamp(from / whole, 0.0, 1.0);
}

}  // namespace intercusp
