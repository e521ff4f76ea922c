#pragma once

#include <imgui.h>

namespace intercusp {

/// Key codes as GLFW numbers them, in the window and on the page.
enum ArrowKey : int { kRightArrow = 262, kLeftArrow = 263, kDownArrow = 264, kUpArrow = 265 };
enum PlainKey : int { kEnterKey = 257, kTabKey = 258, kPageUp = 266, kPageDown = 267, kMinusKey = '-', kPlusKey = '=' };

/// Before a frame: arrows walk from control to control once Tab has shown where the focus is, and belong to a text
/// while one is typed. Otherwise they nudge the jaw, also right after a click on a button, or move the aim; with the
/// aim, Enter and the space bar put what is placed.
inline void share_arrow_keys(ImGuiIO& io, bool aims) {
  const bool for_controls = !aims && (io.NavVisible || io.WantTextInput);
  io.KeyMap[ImGuiKey_RightArrow] = for_controls ? kRightArrow : -1;
  io.KeyMap[ImGuiKey_LeftArrow] = for_controls ? kLeftArrow : -1;
  io.KeyMap[ImGuiKey_DownArrow] = for_controls ? kDownArrow : -1;
  io.KeyMap[ImGuiKey_UpArrow] = for_controls ? kUpArrow : -1;
  io.KeyMap[ImGuiKey_Tab] = -1;  // see walk_by_tab
  io.KeyMap[ImGuiKey_Space] = aims ? -1 : ' ';
  io.KeyMap[ImGuiKey_Enter] = aims ? -1 : kEnterKey;
}

}  // namespace intercusp
