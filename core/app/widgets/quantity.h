#pragma once

#include <optional>
#include <string>
#include <utility>

#include <imgui.h>

namespace intercusp::ui {

/// A number that is dragged sideways, typed after a click, or stepped with the wheel.
struct QuantityLook {
  std::string words;  ///< what it shows when not being typed, e.g. "5.0 mm forward"
  double value = 0;
  bool unset = false;                              ///< there is no number yet: zero that is typed is one
  double step = 0.5;                               ///< snap while dragging; a tenth of it with Alt
  std::optional<std::pair<double, double>> range;  ///< what is typed beyond it is refused
  float width = 0;                                 ///< device pixels; 0 = by the words
  bool locked = false;
  bool enabled = true;
  const char* hint = nullptr;
};

struct QuantityEdit {
  std::optional<double> value;  ///< set when it changed this frame
  bool dragging = false;
  bool finished = false;     ///< a drag or typing ended
  bool lock_turned = false;  ///< right click, or the lock mark
};

QuantityEdit quantity(const char* id, const QuantityLook& look);

}  // namespace intercusp::ui
