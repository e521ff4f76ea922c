#include "app/widgets/finger_scroll.h"

#include <algorithm>
#include <cmath>

#include <imgui.h>
#include <imgui_internal.h>

#include "app/theme.h"

namespace intercusp::ui {

namespace {

constexpr float kBegins = 8;          ///< logical pixels from where the finger came down
constexpr float kSteep = 1.2f;        ///< up and down more than sideways by that much: sideways is for what is pulled
constexpr float kSlowsPerSecond = 5;  ///< of the speed's logarithm
constexpr float kStill = 20;          ///< logical pixels a second
constexpr float kRest = 0.1f;         ///< seconds

struct Finger {
  ImGuiID panel = 0;  ///< that it scrolls, or whose scrolling runs out
  bool scrolls = false, decided = false;
  float begun_at = 0, runs_at = 0;  ///< the panel's scroll when it came down, and now
  float speed = 0;                  ///< pixels a second
};

/// The window under the pointer or the nearest around it that has more than is seen; null where there is none.
const ImGuiWindow* panel_under_pointer() {
  for (const ImGuiWindow* window = GImGui->HoveredWindow; window; window = window->ParentWindow) {
    const bool by_pointer = (window->Flags & ImGuiWindowFlags_NoScrollWithMouse) == 0;
    if (window->ScrollMax.y > 0 && by_pointer) return window;
  }
  return nullptr;
}

void scroll_to(ImGuiID id, float y) {
  if (ImGuiWindow* panel = ImGui::FindWindowByID(id)) ImGui::SetScrollY(panel, std::clamp(y, 0.0f, panel->ScrollMax.y));
}

void follow(Finger& finger, const ImGuiIO& io) {
  const ImVec2 way = ImGui::GetMouseDragDelta(0, 0);
  if (!finger.decided && std::max(std::abs(way.x), std::abs(way.y)) > px(kBegins)) {
    finger.decided = true;
    finger.scrolls = finger.panel != 0 && std::abs(way.y) > kSteep * std::abs(way.x);
    if (finger.scrolls) ImGui::ClearActiveID();  // what was pressed is not meant
  }
  if (!finger.scrolls) return;
  finger.runs_at = finger.begun_at - way.y;
  scroll_to(finger.panel, finger.runs_at);
  const float now = -io.MouseDelta.y / std::max(1e-3f, io.DeltaTime);
  finger.speed = 0.6f * finger.speed + 0.4f * now;
}

}  // namespace

bool scroll_by_finger() {
  static Finger finger;
  const ImGuiIO& io = ImGui::GetIO();
  if (!touch_input()) {
    finger = {};
    return false;
  }
  if (ImGui::IsMouseClicked(0)) {
    finger = {};
    if (const ImGuiWindow* panel = panel_under_pointer()) {
      finger.panel = panel->ID;
      finger.begun_at = finger.runs_at = panel->Scroll.y;
    }
    return false;
  }
  if (ImGui::IsMouseDown(0)) {
    follow(finger, io);
    return false;  // its moves bring frames of their own
  }
  if (ImGui::IsMouseReleased(0) && io.DeltaTime > kRest) finger.speed = 0;  // it rested, and no frame was drawn
  if (!finger.scrolls || std::abs(finger.speed) < px(kStill)) {
    finger = {};
    return false;
  }
  finger.runs_at += finger.speed * io.DeltaTime;
  scroll_to(finger.panel, finger.runs_at);
  finger.speed *= std::exp(-kSlowsPerSecond * io.DeltaTime);
  return true;
}

}  // namespace intercusp::ui
