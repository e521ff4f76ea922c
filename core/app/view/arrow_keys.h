#pragma once

#include <imgui.h>

namespace intercusp {

/// Key codes as GLFW numbers them, in the window and on the page.
enum ArrowKey : int { kRightArrow = 262, kLeftArrow = 263, kDownArrow = 264, kUpArrow = 265 };

/// Before a frame: arrows walk from control to control once Tab has shown where the focus is, and belong to a text
/// while one is typed. Otherwise they nudge the jaw, also right after a click on a button.
inline void share_arrow_keys(ImGuiIO& io) {
  const bool for_controls = io.NavVisible || io.WantTextInput;
  io.KeyMap[ImGuiKey_RightArrow] = for_controls ? kRightArrow : -1;
  io.KeyMap[ImGuiKey_LeftArrow] = for_controls ? kLeftArrow : -1;
  io.KeyMap[ImGuiKey_DownArrow] = for_controls ? kDownArrow : -1;
  io.KeyMap[ImGuiKey_UpArrow] = for_controls ? kUpArrow : -1;
}

}  // namespace intercusp
