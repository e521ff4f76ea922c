#pragma once

#include <imgui.h>

#include "app/work/workspace.h"

namespace intercusp {

/// The magnified surroundings of the pointer with what the snap finds there.
void draw_loupe(Workspace& w, std::size_t view, ImDrawList* list, unsigned picture, const Rect& area, float x, float y);
/// The clinical word of a handle part beside the pointer, with the value it has now.
void draw_part_words(const Workspace& w, ImDrawList* list, const std::string& part, float x, float y);
/// Places or moves a landmark to what lies under a pixel, snapped when snapping is on.
void place_landmark_at(Workspace& w, const std::string& name, std::size_t view, float x, float y,
                       const std::string& merge);
/// Brings the place under a pixel to the middle of the view.
void centre_on(Workspace& w, std::size_t view, float x, float y);

/// Words beside the pointer.
void draw_pointer_words(const Workspace& w, ImDrawList* list, const std::string& words, float x, float y);
/// The gap to the other jaw under the pointer, in words beside it.
void draw_gap_words(const Workspace& w, std::size_t view, ImDrawList* list, float x, float y);

}  // namespace intercusp
