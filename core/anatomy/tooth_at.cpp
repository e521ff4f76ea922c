#include "anatomy/tooth_at.h"

namespace intercusp {

namespace {

/// Whether a landmark lies on the crown of a tooth: roots do not say which tooth a contact is on.
bool lies_on_crown(const std::string& name) {
  return name.size() > 3 && name[2] == '.' && name.find("apex") == std::string::npos;
}

/// By the first digit, the quadrant.
bool of_jaw(const std::string& name, Jaw jaw) {
  const bool upper = name[0] == '1' || name[0] == '2';
  return jaw == (upper ? Jaw::upper : Jaw::lower);
}

}  // namespace

TeethOfArch::TeethOfArch(const PointMap& points, Jaw jaw) {
  for (const auto& [name, p] : points)
    if (lies_on_crown(name) && of_jaw(name, jaw)) marks_.emplace_back(p, (name[0] - '0') * 10 + (name[1] - '0'));
}

int TeethOfArch::at(const Vec3& place) const {
  constexpr double kReach_mm = 6.0;  // half a molar crown: farther away no tooth is meant
  double best = kReach_mm * kReach_mm;
  int tooth = 0;
  for (const auto& [p, number] : marks_) {
    const double distance = (p - place).squaredNorm();
    if (distance >= best) continue;
    best = distance;
    tooth = number;
  }
  return tooth;
}

int tooth_at(const PointMap& points, const Vec3& at, Jaw jaw) {
  return TeethOfArch(points, jaw).at(at);
}

}  // namespace intercusp
