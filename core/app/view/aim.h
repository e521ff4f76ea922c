#pragma once

#include <optional>

#include <imgui.h>

#include "app/work/workspace.h"

namespace intercusp {

/// A cross that keys move over a view while something is to be put on the model: the pointer of a hand without a mouse.
/// Arrows move it, with Shift in large steps, with Alt in fine ones; Enter or the space bar puts; Tab goes back to the
/// controls, Esc ends the tool. The mouse, once moved, takes over again.
class Aim {
 public:
  /// Reads this frame's keys; before anything asks for `at`.
  void frame(Workspace& w);
  /// Where the cross is, device pixels; nothing while the mouse points.
  std::optional<ImVec2> at() const { return at_; }
  std::size_t view() const { return view_; }
  /// Whether Enter or the space bar was pressed this frame.
  bool puts() const { return puts_; }
  void draw(ImDrawList* list) const;

 private:
  void begin(Workspace& w);

  std::optional<ImVec2> at_, last_;
  std::size_t view_ = 0;
  bool puts_ = false;
};

}  // namespace intercusp
