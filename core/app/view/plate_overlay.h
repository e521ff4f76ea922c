#pragma once

#include <imgui.h>

#include "app/view/labels.h"
#include "app/work/workspace.h"

namespace intercusp {

/// Midway between where the two screws of a site go in; the anchor where none does.
Vec3 plate_middle(const PlateGap& gap);

/// The chosen plate site: the plate from screw to screw, the screws as deep as they go, gap and step in words.
void draw_chosen_plate(const Workspace& w, std::size_t view, ImDrawList* list, Labels& labels);

}  // namespace intercusp
