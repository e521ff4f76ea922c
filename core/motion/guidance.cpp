#include "motion/guidance.h"

#include <cmath>

namespace intercusp {

double hanau_lateral_deg(double horizontal_deg) {
  return horizontal_deg / 8 + 12;
}

Pose laterotrusion(const HingeAxis& axis, double between_mm, bool to_right, double advance_mm) {
  if (!(std::abs(advance_mm) <= between_mm)) return Pose::Identity();
  const double side = to_right ? -1 : 1;  // of the working condyle, along the axis to the left
  const Vec3 working = axis.through + side * 0.5 * between_mm * axis.direction;
  const Vec3 up = axis.direction.cross(Vec3::UnitZ().cross(axis.direction)).normalized();
  // The left condyle, seen from the right one, comes forward (-y) by a turn against the upright axis.
  const double angle = side * std::asin(advance_mm / between_mm);
  return Eigen::Translation3d(working) * Eigen::AngleAxisd(angle, up) * Eigen::Translation3d(-working);
}

}  // namespace intercusp
