// Words about a control, for a pointer that rests on it.
#include <imgui_internal.h>

#include <algorithm>
#include <cmath>

#include "app/theme.h"
#include "app/widgets/widgets.h"

namespace intercusp::ui {

namespace {

constexpr double kRestSeconds = 0.45;

/// The control that the pointer is on.
struct Resting {
  ImGuiID id = 0;
  int frame = -2;     ///< when its tip was last asked for
  double since = 0;   ///< s, on the library's clock
  bool over = false;  ///< pressed meanwhile: its tip stays away until the pointer comes back
  bool shown = false;
  int waiting = -2;  ///< the frame in which the tip was not yet whole
  double left = 0;   ///< s from then until it is due
};

Resting& resting() {
  static Resting r;
  return r;
}

bool any_button_down() {
  const ImGuiIO& io = ImGui::GetIO();
  return std::any_of(std::begin(io.MouseDown), std::end(io.MouseDown), [](bool down) { return down; });
}

// Whether the pointer still lies where it pressed last.
bool just_pressed() {
  const ImGuiIO& io = ImGui::GetIO();
  const ImVec2 at = io.MouseClickedPos[0];
  return io.MouseClickedTime[0] > 0 && std::hypot(io.MousePos.x - at.x, io.MousePos.y - at.y) < px(4);
}

// What a key pressed would show stands under the tip as well.
bool key_pressed() {
  return ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Enter), false) || ImGui::IsKeyPressed(' ', false);
}

// Below the control, or above it where there is no room below.
void place_beside(ImVec2 from, ImVec2 to, ImVec2 size) {
  const ImVec2 screen = ImGui::GetIO().DisplaySize;
  const float gap = px(6), edge = px(4);
  const float below = to.y + gap, above = from.y - gap - size.y;
  const float x = std::clamp(from.x, edge, std::max(edge, screen.x - size.x - edge));
  ImGui::SetNextWindowPos({std::floor(x), std::floor(below + size.y <= screen.y - edge ? below : above)});
}

}  // namespace

void hint_tip(const char* words) {
  if (touch_input() || !words || !*words) return;
  Resting& r = resting();
  const ImGuiID id = ImGui::GetItemID();
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  const int frame = ImGui::GetFrameCount();
  if (r.id != id || r.frame < frame - 1) r = {id, frame, ImGui::GetTime(), false, false, -2, 0};
  r.frame = frame;
  r.over = r.over || any_button_down() || just_pressed() || key_pressed();
  if (r.over) return;
  const double left = kRestSeconds - (ImGui::GetTime() - r.since);
  if (left > 0 || !r.shown) {  // one frame more after the first, in which the library only learns its size
    r.waiting = frame;
    r.left = std::max(0.0, left);
  }
  if (left > 0) return;
  r.shown = true;
  const float wrap = px(260);
  const ImVec2 padding(px(10), px(7));
  const ImVec2 text = fonts().small->CalcTextSizeA(fonts().small->FontSize, FLT_MAX, wrap, words);
  place_beside(from, to, {text.x + 2 * padding.x, text.y + 2 * padding.y});
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, padding);
  ImGui::BeginTooltip();
  ImGui::PushFont(fonts().small);
  ImGui::PushTextWrapPos(padding.x + wrap);
  ImGui::TextUnformatted(words);
  ImGui::PopTextWrapPos();
  ImGui::PopFont();
  const ImVec2 at = ImGui::GetWindowPos(), size = ImGui::GetWindowSize();
  note_rect("tip", at, {at.x + size.x, at.y + size.y});
  ImGui::EndTooltip();
  ImGui::PopStyleVar();
}

double tip_due_in() {
  const Resting& r = resting();
  return r.waiting == ImGui::GetFrameCount() ? r.left : HUGE_VAL;
}

}  // namespace intercusp::ui
