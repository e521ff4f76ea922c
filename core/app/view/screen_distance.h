#pragma once

#include <imgui.h>

#include <algorithm>
#include <cmath>

namespace intercusp {

/// From a point to the stretch between two others, in their unit.
inline float distance_to_stretch(ImVec2 p, ImVec2 a, ImVec2 b) {
  const float dx = b.x - a.x, dy = b.y - a.y, len = dx * dx + dy * dy;
  const float t = len > 0 ? std::clamp(((p.x - a.x) * dx + (p.y - a.y) * dy) / len, 0.0f, 1.0f) : 0;
  return std::hypot(p.x - a.x - t * dx, p.y - a.y - t * dy);
}

}  // namespace intercusp
