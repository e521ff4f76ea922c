#pragma once

#include <imgui.h>

#include "app/view/camera.h"

namespace intercusp {

/// A small head that shows from where one looks, its middle at `centre`; `size` is half its height in pixels.
void draw_head(ImDrawList* list, const Camera& camera, ImVec2 centre, float size);

}  // namespace intercusp
