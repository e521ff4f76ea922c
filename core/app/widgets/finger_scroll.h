// A panel that is longer than its place goes with the finger that draws it.
#pragma once

namespace intercusp::ui {

/// Once a frame, after ImGui::NewFrame: a finger that goes up or down on a panel with more than is seen scrolls it, and
/// then presses nothing. Let go in motion, the panel runs on a little. True while it does: another frame is wanted.
bool scroll_by_finger();

}  // namespace intercusp::ui
