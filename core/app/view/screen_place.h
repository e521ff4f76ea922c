#pragma once

#include <imgui.h>

#include "app/work/workspace.h"

namespace intercusp {

/// Where a point (patient frame, mm) stands in a view, device pixels.
inline ImVec2 screen_place(const View& v, const Vec3& p) {
  const auto q = Projection{v.camera, v.rect}.pixel(p);
  return {static_cast<float>(q.x()), static_cast<float>(q.y())};
}

}  // namespace intercusp
