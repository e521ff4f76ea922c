#pragma once

#include <imgui.h>

#include "app/view/labels.h"
#include "app/work/workspace.h"

namespace intercusp {

/// At the splint's stop: arrows along which the arches seat, and the thin places, where the walls are coloured or one
/// was chosen.
void draw_splint_marks(const Workspace& w, std::size_t view, ImDrawList* list, Labels& labels);

}  // namespace intercusp
