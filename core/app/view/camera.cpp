#include "app/view/camera.h"

#include <algorithm>
#include <cmath>

namespace intercusp {

namespace {

constexpr double kRadiansPerPixel = 0.008;
constexpr double kNearestMm = 2.0, kFarthestMm = 400.0;  // limits of half_height_mm

Eigen::Quaterniond rotation_rows(const Vec3& x, const Vec3& y, const Vec3& z) {
  Mat3 m;
  m << x.transpose(), y.transpose(), z.transpose();
  return Eigen::Quaterniond(m);
}

}  // namespace

Eigen::Vector2d Projection::pixel(const Vec3& patient) const {
  const Vec3 v = camera.view_from_patient * (patient - camera.target);
  const double s = px_per_mm();
  return {rect.x + 0.5 * rect.w + v.x() * s, rect.y + 0.5 * rect.h - v.y() * s};
}

Vec3 Projection::point(double px, double py, double depth_mm) const {
  const double s = px_per_mm();
  const Vec3 v((px - rect.x - 0.5 * rect.w) / s, (rect.y + 0.5 * rect.h - py) / s, depth_mm);
  return camera.target + camera.view_from_patient.conjugate() * v;
}

Eigen::Quaterniond record_rotation(const std::string& name) {
  const Vec3 x = Vec3::UnitX(), y = Vec3::UnitY(), z = Vec3::UnitZ();
  if (name == "right") return rotation_rows(-y, z, -x);
  if (name == "left") return rotation_rows(y, z, x);
  if (name == "upper") return rotation_rows(x, -y, -z);
  if (name == "lower") return rotation_rows(x, y, z);
  return rotation_rows(x, z, -y);
}

std::string viewer_position_words(const Camera& camera) {
  const Vec3 from = camera.towards_viewer();
  struct Side {
    double amount;
    const char* word;
  } sides[] = {{std::abs(from.y()), from.y() < 0 ? "front" : "back"},
               {std::abs(from.x()), from.x() < 0 ? "patient's right" : "patient's left"},
               {std::abs(from.z()), from.z() > 0 ? "above" : "below"}};
  std::stable_sort(std::begin(sides), std::end(sides), [](auto& a, auto& b) { return a.amount > b.amount; });
  std::string words = sides[0].word;
  if (sides[1].amount > 0.38) words += std::string(", ") + sides[1].word;
  return words;
}

void turn_about(Camera& camera, const Vec3& fixed, double dx, double dy) {
  const Eigen::Quaterniond turn =
      Eigen::AngleAxisd(dy * kRadiansPerPixel, Vec3::UnitX()) * Eigen::AngleAxisd(dx * kRadiansPerPixel, Vec3::UnitY());
  const Vec3 held = camera.view_from_patient * (fixed - camera.target);
  camera.view_from_patient = (turn * camera.view_from_patient).normalized();
  camera.target = fixed - camera.view_from_patient.conjugate() * held;
}

void pan(Camera& camera, const Rect& rect, double dx, double dy) {
  const double mm = 2.0 * camera.half_height_mm / std::max(1.0f, rect.h);
  camera.target += camera.view_from_patient.conjugate() * Vec3(-dx * mm, dy * mm, 0);
}

void zoom_at(Camera& camera, const Rect& rect, double px, double py, double factor) {
  const Vec3 before = Projection{camera, rect}.point(px, py, 0);
  camera.half_height_mm = std::clamp(camera.half_height_mm / factor, kNearestMm, kFarthestMm);
  camera.target += before - Projection{camera, rect}.point(px, py, 0);
}

Camera between(const Camera& a, const Camera& b, double t) {
  Camera c;
  c.view_from_patient = a.view_from_patient.slerp(t, b.view_from_patient);
  c.target = a.target + t * (b.target - a.target);
  c.half_height_mm = a.half_height_mm * std::pow(b.half_height_mm / a.half_height_mm, t);
  return c;
}

}  // namespace intercusp
