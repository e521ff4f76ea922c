// Conventions used by every header below: millimetres, double precision for results, float for stored vertices.
// The patient frame is DICOM's (PS3.3 C.7.6.2): +x to the patient's left, +y posterior, +z superior.
#pragma once

#include <Eigen/Core>
#include <Eigen/Geometry>

#include <array>
#include <cstdint>

namespace intercusp {

using Vec3 = Eigen::Vector3d;
using Vec3f = Eigen::Vector3f;
using Mat3 = Eigen::Matrix3d;
using Pose = Eigen::Isometry3d;  ///< rigid; `a_from_b * point_in_b = point_in_a`
using Box = Eigen::AlignedBox3d;
using Triangle = std::array<std::uint32_t, 3>;  ///< counter-clockwise seen from outside
using Colour = std::array<std::uint8_t, 4>;     ///< RGBA, sRGB

constexpr double kPi = 3.14159265358979323846;
constexpr double radians(double degrees) {
  return degrees * kPi / 180.0;
}
constexpr double degrees(double radians) {
  return radians * 180.0 / kPi;
}

}  // namespace intercusp
