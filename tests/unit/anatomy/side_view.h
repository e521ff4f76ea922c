// Readings of a skull as on a side-view film, written apart from the program's own: points projected along +x, forward
// is -y. And the gaps of a jaw joint in a section.
#pragma once

#include <cmath>
#include <string>

#include "anatomy/isosurface.h"
#include "anatomy/landmarks.h"

namespace intercusp {

class SideView {
 public:
  using P = Eigen::Vector2d;
  explicit SideView(const LandmarkSet& set) : set_(set) {}

  P at(const std::string& name) const {
    const auto one = set_.find(name);
    if (one != set_.end()) return P(-one->second.at.y(), one->second.at.z());
    return 0.5 * (at(name + "_left") + at(name + "_right"));
  }
  double apart(const char* a, const char* b) const { return (at(a) - at(b)).norm(); }
  /// Angle a-v-b at v, degrees.
  double angle(const char* a, const char* v, const char* b) const {
    const P p = (at(a) - at(v)).normalized(), q = (at(b) - at(v)).normalized();
    return degrees(std::acos(p.dot(q)));
  }
  /// By how much the line c-d falls forwards against a-b, degrees.
  double falls(const char* a, const char* b, const char* c, const char* d) const {
    const auto slope = [&](const char* from, const char* to) {
      const P v = at(to) - at(from);
      return std::atan2(v.y(), v.x());
    };
    return degrees(slope(a, b) - slope(c, d));
  }

 private:
  const LandmarkSet& set_;
};

/// Gaps in the upright section through the condyle's centre that contains `last_way`: straight above its top, and
/// across at the two places where lines from the fossa's roof touch it; `last` on the side of `last_way`.
struct JointSpaces {
  double first = 0, top = 0, last = 0;
};

inline JointSpaces joint_spaces(const ScalarField& condyle, const ScalarField& skull, const Vec3& centre,
                                const Vec3& last_way) {
  const Vec3 up = Vec3::UnitZ();
  const auto out_of = [](const ScalarField& solid, Vec3 from, const Vec3& way, double sign) {
    double inside = 0, outside = 0;
    while (sign * solid.value(from + outside * way) <= 0 && outside < 15) {
      inside = outside;
      outside += 0.05;
    }
    for (int round = 0; round < 40; ++round) {
      const double middle = 0.5 * (inside + outside);
      (sign * solid.value(from + middle * way) <= 0 ? inside : outside) = middle;
    }
    return outside;
  };
  const auto on_condyle = [&](double angle) {
    const Vec3 way = std::sin(angle) * last_way + std::cos(angle) * up;
    return Vec3(centre + out_of(condyle, centre, way, 1) * way);
  };
  Vec3 top = on_condyle(0), roof = top;
  for (double angle = -0.8; angle <= 0.8; angle += 0.02)
    if (on_condyle(angle).z() > top.z()) top = on_condyle(angle);
  for (double shift = -5; shift <= 5; shift += 0.1) {
    Vec3 from = top + shift * last_way;
    from.z() = top.z() + 0.2;
    if (skull.value(from) <= 0) continue;
    const Vec3 above = from + out_of(skull, from, up, -1) * up;
    if (above.z() > roof.z()) roof = above;
  }
  JointSpaces spaces;
  spaces.top = out_of(skull, top, up, -1);
  for (const double side : {-1.0, 1.0}) {
    Vec3 touched = top;
    double widest = -10;
    for (double angle = 0.1; angle < 1.8; angle += 0.01) {
      const Vec3 p = on_condyle(side * angle), d = p - roof;
      const double seen = std::atan2(side * last_way.dot(d), -d.z());
      if (seen <= widest) continue;
      widest = seen;
      touched = p;
    }
    const Vec3 along = (touched - roof).normalized();
    Vec3 across = side * (last_way - last_way.dot(along) * along).normalized();
    (side < 0 ? spaces.first : spaces.last) = out_of(skull, touched, across, -1);
  }
  return spaces;
}

}  // namespace intercusp
