#include "anatomy/skull_pattern.h"

#include <algorithm>
#include <cmath>

namespace intercusp {

namespace {

/// 0 below `from`, 1 above `to`, smooth between.
double rise(double x, double from, double to) {
  const double t = std::clamp((x - from) / (to - from), 0.0, 1.0);
  return t * t * (3 - 2 * t);
}

/// Share of the skull's motion that a place of the upper jaw takes part in: none at the teeth, all from the orbits up
/// and from the pterygoid plates back.
double with_skull(const Vec3& p) {
  return 1 - (1 - rise(p.z(), 20, 48)) * (1 - rise(p.y(), 38, 68));
}

/// The same for the mandible: all of the condyle, none of the body.
double with_condyle(const Vec3& p) {
  return 1 - (1 - rise(p.z(), -5, 28)) * (1 - rise(p.y(), 48, 86));
}

Vec3 rolled(const Vec3& p, double tangent) {
  constexpr double kAxisHeight = 25;
  return {-tangent * (p.z() - kAxisHeight), 0, tangent * p.x()};
}

/// Of kFrankfortTiltDeg, written out: points that are looked for along them must not differ by the last bit of a
/// library.
constexpr double kFrankfortCosine = 0.99539619836717885, kFrankfortSine = 0.09584575252022398;

/// Of an angle up to a tenth of a radian or so, to 1e-8; for the same reason without the library's.
double tangent(double x) {
  const double q = x * x;
  return x * (1 + q * (1.0 / 3 + q * (2.0 / 15 + q * (17.0 / 315 + q * 62.0 / 2835))));
}

template <class Bend>
Vec3 unbent(const Vec3& plain, const Bend& plain_from_patient) {
  Vec3 p = plain;
  for (int round = 0; round < 200; ++round) {
    const Vec3 off = plain - plain_from_patient(p);
    p += off;
    if (off.norm() < 1e-12) break;
  }
  return p;
}

}  // namespace

SkullPattern SkullPattern::of(const JawRecipe& r) {
  SkullPattern s;
  s.skull_back = r.upper_jaw_forward_mm;
  s.lower_back = r.overjet_mm - 2.5 - r.lower_forward_mm;
  // A lower front that stands low carries the chin down with it, as in an open bite.
  const double low = std::clamp(2.5 - r.overbite_mm + r.lower_down_mm, -3.0, 7.0);
  s.chin_down = 0.6 * low + r.face_height_mm;
  s.chin_left = r.chin_left_mm;
  s.cant = tangent(radians(r.cant_deg));
  return s;
}

Vec3 SkullPattern::plain_upper(const Vec3& p) const {
  const double share = with_skull(p);
  return p - share * (Vec3(0, skull_back, 0) + rolled(p, cant));
}

Vec3 SkullPattern::plain_lower(const Vec3& p) const {
  const double share = with_condyle(p), front = 1 - rise(p.y(), 18, 74);
  const double low = rise(-p.z(), 13, 33);
  // The chin of a long face turns down and back about the joint.
  const Vec3 body(chin_left * front * (0.25 + 0.75 * low), lower_back + 0.25 * chin_down * low * front,
                  -chin_down * front * low);
  // The side that the chin leaves is the longer one.
  const Vec3 angle(0, 0, -0.006 * chin_left * -p.x() * rise(p.y(), 40, 75) * (1 - rise(p.z(), -5, 25)));
  return p - share * (Vec3(0, skull_back, 0) + rolled(p, cant)) - (1 - share) * body - angle;
}

Vec3 SkullPattern::patient_upper(const Vec3& plain) const {
  return unbent(plain, [this](const Vec3& p) { return plain_upper(p); });
}

Vec3 SkullPattern::patient_lower(const Vec3& plain) const {
  return unbent(plain, [this](const Vec3& p) { return plain_lower(p); });
}

double SkullPattern::reach_mm() const {
  return std::abs(skull_back) + std::abs(lower_back) + std::abs(chin_down) + std::abs(chin_left) + 110 * std::abs(cant);
}

Vec3 frankfort_forward() {
  return {0, -kFrankfortCosine, kFrankfortSine};
}

Vec3 frankfort_up() {
  return {0, kFrankfortSine, kFrankfortCosine};
}

}  // namespace intercusp
