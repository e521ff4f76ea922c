#include "skeleton/midsagittal.h"

namespace intercusp {

namespace {

constexpr char kRight[] = "_right";

/// The name of the partner on the left, if this is a skull point on the right.
std::optional<std::string> left_partner(const std::string& name) {
  const std::size_t length = sizeof(kRight) - 1;
  if (name.size() <= length || name.compare(name.size() - length, length, kRight) != 0) return std::nullopt;
  if (jaw_of_landmark(name) != Jaw::skull) return std::nullopt;
  return name.substr(0, name.size() - length) + "_left";
}

}  // namespace

std::optional<Plane> midsagittal_plane(const PointMap& points) {
  const auto nasion = points.find("N");
  if (nasion == points.end()) return std::nullopt;
  Vec3 sum = Vec3::Zero();
  for (const auto& [name, right] : points) {
    const auto partner = left_partner(name);
    if (!partner) continue;
    const auto left = points.find(*partner);
    if (left == points.end()) continue;
    const Vec3 across = left->second - right;
    if (across.norm() > 0) sum += across.normalized();
  }
  if (!(sum.norm() > 1e-9)) return std::nullopt;
  return Plane{nasion->second, sum.normalized()};
}

}  // namespace intercusp
