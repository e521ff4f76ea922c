// Pictures of a case without a screen: an orthographic z-buffer of our own.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "geometry/mesh.h"

namespace intercusp {

/// From where one looks; the patient's sides.
enum class RecordView { front, right, left, upper, lower };
constexpr int kRecordViews = 5;
const char* record_view_name(RecordView view);

struct PictureBody {
  const Mesh* mesh = nullptr;
  Pose patient_from_mesh = Pose::Identity();
  bool upper = true;
};

struct Picture {
  int width = 0, height = 0;
  std::vector<std::uint8_t> rgb;  ///< rows from the top
};

/// Draws bodies by their vertex colours (bone colour where they have none), lit from the viewer's upper left. The upper
/// view looks up at the upper jaw alone, the lower view down at the lower jaw alone. `marked` is drawn as a ring where
/// it is not hidden by more than 4 mm. Everything fits. O(triangles + pixels).
Picture draw_record_view(const std::vector<PictureBody>& bodies, RecordView view, int width, int height,
                         const Vec3* marked);

}  // namespace intercusp
