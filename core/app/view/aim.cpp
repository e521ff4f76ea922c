#include "app/view/aim.h"

#include <algorithm>

#include <imgui_internal.h>

#include "app/theme.h"
#include "app/view/arrow_keys.h"

namespace intercusp {

namespace {

constexpr float kStep = 6, kLarge = 36, kFine = 1;  // logical pixels

bool key_down_now(int key) {
  return ImGui::IsKeyPressed(key, false);
}

// The step that this frame's arrows ask for, device pixels.
ImVec2 arrow_step() {
  const ImGuiIO& io = ImGui::GetIO();
  const float step = px(io.KeyShift ? kLarge : io.KeyAlt ? kFine : kStep);
  ImVec2 by{0, 0};
  if (ImGui::IsKeyPressed(kRightArrow)) by.x += step;
  if (ImGui::IsKeyPressed(kLeftArrow)) by.x -= step;
  if (ImGui::IsKeyPressed(kDownArrow)) by.y += step;
  if (ImGui::IsKeyPressed(kUpArrow)) by.y -= step;
  return by;
}

}  // namespace

void Aim::begin(Workspace& w) {
  view_ = std::min(w.active_view, w.views.size() - 1);
  const Rect& r = w.views[view_].rect;
  if (!last_ || !r.contains(last_->x, last_->y)) last_ = ImVec2{r.x + 0.5f * r.w, r.y + 0.5f * r.h};
  at_ = last_;
  // The focus stays where it was; its frame would claim the arrows.
  ImGui::GetCurrentContext()->NavDisableHighlight = true;
}

void Aim::frame(Workspace& w) {
  const ImGuiIO& io = ImGui::GetIO();
  puts_ = false;
  // A control that was pressed by keys hands the arrows on: to the tool that it chose, or back to the one in use.
  const bool pressed = io.NavVisible && (key_down_now(kEnterKey) || key_down_now(' '));
  const bool mouse = (io.MouseDelta.x != 0 || io.MouseDelta.y != 0) && ImGui::IsMousePosValid();
  if (w.tool == Tool::turn || mouse || io.WantTextInput || key_down_now(kTabKey)) {
    at_.reset();
    return;
  }
  const ImVec2 by = arrow_step();
  const bool arrows = (by.x != 0 || by.y != 0) && !io.NavVisible;
  if (!at_ && (pressed || arrows)) return begin(w);
  if (!at_) return;
  const Rect& r = w.views[view_].rect;
  at_->x = std::clamp(at_->x + by.x, r.x, r.x + r.w - 1);
  at_->y = std::clamp(at_->y + by.y, r.y, r.y + r.h - 1);
  last_ = at_;
  puts_ = key_down_now(kEnterKey) || key_down_now(' ');
}

void Aim::draw(ImDrawList* list) const {
  if (!at_) return;
  const float x = at_->x, y = at_->y, inner = px(4), outer = px(14);
  for (const bool halo : {true, false}) {
    const ImU32 colour = halo ? theme().panel : theme().accent;
    const float wide = px(halo ? 4.0f : 2.0f);
    for (const float sign : {-1.0f, 1.0f}) {
      list->AddLine({x + sign * inner, y}, {x + sign * outer, y}, colour, wide);
      list->AddLine({x, y + sign * inner}, {x, y + sign * outer}, colour, wide);
    }
  }
}

}  // namespace intercusp
