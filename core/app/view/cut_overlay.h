#pragma once

#include <optional>

#include <imgui.h>

#include "app/view/labels.h"
#include "app/work/workspace.h"

namespace intercusp {

/// The cuts of the plan as lines on the bone, at the stop where they are laid, and what the chosen one comes near.
void draw_cut_lines(const Workspace& w, std::size_t view, ImDrawList* list, Labels& labels);

/// A cut that can be dragged up and down where the pointer is: the whole line by its level, its rear end by its slope.
struct CutGrip {
  CutKind kind = CutKind::lefort1;
  bool right = true;        ///< the side of the patient that was touched
  std::optional<Vec3> end;  ///< the rear end that was touched, patient frame at rest; it follows the hand
};
/// The rear end of the chosen Le Fort I on the side that a view shows, where it can be taken hold of.
std::optional<CutGrip> slope_grip(const Workspace& w, std::size_t view);
std::optional<CutGrip> cut_under(const Workspace& w, std::size_t view, float x, float y);

/// The settings of the cut after its grip went up by so many millimetres from where `before` had it, snapped to the
/// step (fine: a tenth of it). Both sides of a Le Fort I go together while they are alike; `one_side` moves the side
/// that is held alone. Held at its rear end, the slope changes so that the end goes up by as much.
std::map<std::string, double> dragged_settings(const Workspace& w, const CutGrip& grip, const Osteotomy& before,
                                               double up_mm, bool one_side, bool fine);
/// Millimetres upwards that a drag on the screen means.
double mm_up(const View& view, float dy);

}  // namespace intercusp
