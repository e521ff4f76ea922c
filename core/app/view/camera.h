#pragma once

#include <string>

#include "geometry/types.h"

namespace intercusp {

/// An orthographic view. View axes: x to the right of the screen, y up, z towards the viewer; mm.
struct Camera {
  Eigen::Quaterniond view_from_patient = Eigen::Quaterniond::Identity();  ///< rotation only
  Vec3 target = Vec3::Zero();  ///< patient point shown at the middle of the view
  double half_height_mm = 40;  ///< half of what the view shows from bottom to top

  Vec3 right() const { return view_from_patient.conjugate() * Vec3::UnitX(); }
  Vec3 up() const { return view_from_patient.conjugate() * Vec3::UnitY(); }
  Vec3 towards_viewer() const { return view_from_patient.conjugate() * Vec3::UnitZ(); }
};

/// A rectangle in device pixels, y downwards.
struct Rect {
  float x = 0, y = 0, w = 0, h = 0;
  bool contains(float px, float py) const { return px >= x && py >= y && px < x + w && py < y + h; }
};

/// Pixel and patient point to each other within a view's rectangle; `depth_mm` is along towards_viewer from the target.
struct Projection {
  Camera camera;
  Rect rect;
  double px_per_mm() const { return 0.5 * rect.h / camera.half_height_mm; }
  Eigen::Vector2d pixel(const Vec3& patient) const;
  double depth(const Vec3& patient) const { return (patient - camera.target).dot(camera.towards_viewer()); }
  Vec3 point(double px, double py, double depth_mm) const;
};

/// Rotation of a record view by name: front, right, left, upper (occlusal, seen from below), lower (seen from above).
/// Unknown names give front.
Eigen::Quaterniond record_rotation(const std::string& name);

/// "from the front", "from the patient's right and above": where the viewer stands, in words.
std::string viewer_position_words(const Camera& camera);

/// Turns by a drag of (dx, dy) pixels about a patient point that keeps its place on the screen.
void turn_about(Camera& camera, const Vec3& fixed, double dx, double dy);
/// Moves the picture by pixels.
void pan(Camera& camera, const Rect& rect, double dx, double dy);
/// Zooms so that the point under pixel (px, py) stays.
void zoom_at(Camera& camera, const Rect& rect, double px, double py, double factor);

/// The camera a share `t` (0..1) of the way from a to b.
Camera between(const Camera& a, const Camera& b, double t);

}  // namespace intercusp
