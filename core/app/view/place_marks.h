#pragma once

#include <imgui.h>

#include <optional>
#include <string>
#include <vector>

#include "app/view/labels.h"
#include "app/work/workspace.h"

namespace intercusp {

/// How many rows of the clearance list are shown: the deepest few, or on demand all that are more than touching.
std::size_t shown_places(const Workspace& w);
/// Places that are more than touching; at least 1, so that an only touching place is listed.
std::size_t listed_places(const Workspace& w);

/// A place of the clearance list, or of the list of plate sites, in a view, by the number it has there.
struct PlaceMark {
  int row = 0;
  bool quiet = false;   ///< nothing stands against it: planned, or fit for a plate
  ImVec2 point;         ///< the place itself, device pixels
  ImVec2 centre;        ///< of the mark, put aside where others stand
  bool behind = false;  ///< something stands in front of it
};
/// The marks of a view at the stop of the clearance list. A mark that finds no room is left out.
std::vector<PlaceMark> place_marks(const Workspace& w, std::size_t view);
void draw_place_marks(const Workspace& w, std::size_t view, ImDrawList* list, Labels& labels);
/// The row whose mark is under a pixel, and going to it.
std::optional<int> place_under(const Workspace& w, std::size_t view, float x, float y);
void go_to_place(Workspace& w, int row);

/// A number in a disc, as the mark and the row carry it.
void number_disc(ImDrawList* list, ImVec2 centre, int number, bool filled, bool quiet);
float number_disc_radius();

}  // namespace intercusp
