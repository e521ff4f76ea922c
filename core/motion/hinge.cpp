#include "motion/hinge.h"

namespace intercusp {
namespace {

Result<std::pair<Vec3, Vec3>> both_sides(const PointMap& points, const std::string& name) {
  const auto right = points.find(name + "_right"), left = points.find(name + "_left");
  if (right == points.end() || left == points.end()) {
    return Error{"the hinge axis needs " + name + "_right and " + name + "_left", "", "place them"};
  }
  return std::make_pair(right->second, left->second);
}

Result<HingeAxis> through_points(const Vec3& right, const Vec3& left) {
  if (!((left - right).norm() > 1)) {
    return Error{"the two ends of the hinge axis lie at one place", "", "check the landmarks of the condyles"};
  }
  return HingeAxis{0.5 * (right + left), (left - right).normalized()};
}

}  // namespace

Pose HingeAxis::opened(double open_deg) const {
  return Eigen::Translation3d(through) * Eigen::AngleAxisd(radians(open_deg), direction) *
         Eigen::Translation3d(-through);
}

HingeAxis HingeAxis::shifted(double back_mm, double up_mm) const {
  const Vec3 back = Vec3::UnitZ().cross(direction).normalized(), up = direction.cross(back);
  return {through + back_mm * back + up_mm * up, direction};
}

Result<HingeAxis> condylar_axis(const PointMap& points) {
  const auto ends = both_sides(points, "condyle_centre");
  if (!ends.ok()) return ends.error();
  return through_points(ends.value().first, ends.value().second);
}

Result<HingeAxis> arbitrary_axis(const PointMap& points) {
  constexpr double kForward = 10, kDown = 7;  // mm
  const auto ear = both_sides(points, "Po"), eye = both_sides(points, "Or");
  if (!ear.ok()) return ear.error();
  if (!eye.ok()) return eye.error();
  const auto [ear_right, ear_left] = ear.value();
  const auto [eye_right, eye_left] = eye.value();
  const Vec3 across = (ear_left - ear_right).normalized();
  Vec3 forward = 0.5 * (eye_right + eye_left) - 0.5 * (ear_right + ear_left);
  forward = (forward - across.dot(forward) * across).normalized();
  const Vec3 up = forward.cross(across);
  const Vec3 shift = kForward * forward - kDown * up;
  return through_points(ear_right + shift, ear_left + shift);
}

Result<HingeAxis> hinge_axis(const PointMap& points, const std::string& name) {
  if (name == "condyles") return condylar_axis(points);
  if (name == "arbitrary") return arbitrary_axis(points);
  return Error{"there is no hinge axis named " + name, "", "choose condyles or arbitrary"};
}

const std::vector<PublishedCentre>& published_centres() {
  static const std::vector<PublishedCentre> centres{
      {"mean centre at impaction of the upper jaw", "J Craniofac Surg 2006;17:898-904", 2.5, -19.6, false},
      {"opening to 10 mm, increased anterior face height", "Nattestad and Vedtofte 1992", 8.4, -25.1, false},
      {"intrusion of the molars", "Angle Orthod 2018;88:538-544", 7.4, -16.9, true}};
  return centres;
}

}  // namespace intercusp
