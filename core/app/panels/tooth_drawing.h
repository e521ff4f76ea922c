#pragma once

#include <imgui.h>

#include <string>

#include "app/view/camera.h"

namespace intercusp {

/// A small outline of the tooth of a landmark, seen from the biting side, with the place marked.
void draw_tooth(ImDrawList* list, const Rect& r, const std::string& landmark);

}  // namespace intercusp
