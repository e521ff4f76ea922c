#pragma once

#include <imgui.h>

#include "app/work/workspace.h"

namespace intercusp {

/// The outlines that the section plane cuts from the bodies, with a millimetre grid about a clearance place.
void draw_section_lines(const Workspace& w, const View& view, ImDrawList* list);

}  // namespace intercusp
