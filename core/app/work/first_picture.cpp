#include "app/work/first_picture.h"

#include <algorithm>

namespace intercusp {

namespace {

constexpr double kRoomAround = 1.15;

}  // namespace

FirstPicture first_picture_of(const Case& coarse) {
  FirstPicture picture;
  picture.camera.view_from_patient = record_rotation("front");
  Eigen::AlignedBox3d box;
  for (const Body& body : coarse.bodies) {
    if (!body.surface) continue;
    DrawnBody drawn;
    drawn.surface = body.surface;
    drawn.patient_from_surface = drawn.start_pose = coarse.patient_from_scans;
    drawn.upper = drawn.lower = true;
    for (const Vec3f& p : body.surface->mesh().positions) box.extend(coarse.patient_from_scans * p.cast<double>());
    picture.bodies.push_back(std::move(drawn));
  }
  if (box.isEmpty()) return {};
  picture.camera.target = box.center();
  picture.camera.half_height_mm = 0.5 * kRoomAround * std::max(box.sizes().z(), box.sizes().x());
  return picture;
}

}  // namespace intercusp
