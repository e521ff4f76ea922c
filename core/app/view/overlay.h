#pragma once

#include <imgui.h>

#include "app/work/workspace.h"

namespace intercusp {

/// What stands on top of the picture of a view: label, scale bar, patient figure, constructs, landmarks, section,
/// handle.
void draw_view_overlay(Workspace& w, std::size_t view, ImDrawList* list, const std::string& lit_part);
/// Rectangle of the patient figure of a view; a click on it goes to the next record view.
Rect figure_rect(const View& view);
void turn_by_figure(Workspace& w, std::size_t view);

/// Whether a view shows the dot of a landmark while landmarks are shown: the jaw is there, and when a pivot is chosen
/// it is the jaw that moves.
bool landmark_shown(const Workspace& w, const View& v, const std::string& name);

}  // namespace intercusp
