#include "app/panels/panels.h"

#include <algorithm>

#include "app/panels/bite_card.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/practice.h"

namespace intercusp {

namespace {

constexpr float kLow = 480;  // a screen lower than this has no room for bands

/// The step's panel, or where it is folded the reading, takes the whole height beside the view.
Screen arrange_low(const Workspace& w, float width, float height) {
  Screen s;
  s.low = true;
  const float bar = px(50), foot = px(52), middle = height - bar - foot;
  const float left = w.left_open ? px(touch_input() ? 344 : 304) : 0;
  const bool reading = w.right_open && !w.left_open && !practice_hides_reading(w);
  const float right = reading ? std::min(px(372), 0.45f * width) : 0;
  s.top = {0, 0, width, bar};
  s.foot = {0, height - foot, width, foot};
  s.left = {0, bar, left, middle};
  s.right = {width - right, bar, right, middle};
  s.view = {left, bar, width - left - right, middle};
  return s;
}

/// Practice on a tablet held upright: the model over the whole width, below it the question beside the reading, which
/// is closed until the answer: nothing changes its place with the mark.
Screen arrange_practice_upright(const Workspace& w, float width, float height, float bar) {
  Screen s;
  s.upright = true;
  const float foot = px(56), middle = height - bar - foot;
  // Five pictures beside each other need more of it than one.
  const bool pictures = w.practice->set.tools == PracticeTools::views;
  const float band = pictures ? std::min(px(470), 0.46f * middle) : std::min(px(612), 0.62f * middle);
  const float question = 0.5f * width;
  s.top = {0, 0, width, bar};
  s.view = {0, bar, width, middle - band};
  s.left = {0, height - foot - band, question, band};
  s.right = {question, height - foot - band, width - question, band};
  s.foot = {0, height - foot, width, foot};
  return s;
}

}  // namespace

bool low_screen(float width, float height) {
  return height < px(kLow) && width > height;
}

Screen arrange(const Workspace& w, float width, float height) {
  if (low_screen(width, height)) return arrange_low(w, width, height);
  Screen s;
  s.upright = width < px(1080);
  const float bar = px(touch_input() ? 56 : 48);
  if (s.upright && w.practice) return arrange_practice_upright(w, width, height, bar);
  const float foot = px(s.upright ? 104 : touch_input() ? 56 : 52);
  const float left = w.left_open ? px(touch_input() ? 344 : 304) : 0, right = px(372);
  s.top = {0, 0, width, bar};
  s.foot = {0, height - foot, width, foot};
  const float middle = height - bar - foot;
  if (s.upright) {
    const float band =
        w.right_open && !practice_hides_reading(w) ? std::min(card_height() + px(48), 0.55f * middle) : 0;
    s.right = {0, height - foot - band, width, band};
    s.view = {left, bar, width - left, middle - band};
    s.left = {0, bar, left, middle - band};
    return s;
  }
  s.left = {0, bar, left, middle};
  s.right = {width - (w.right_open ? right : 0), bar, w.right_open ? right : 0, middle};
  s.view = {s.left.w, bar, std::max(px(120), width - s.left.w - s.right.w), middle};
  return s;
}

bool begin_panel(const char* id, const Rect& r, bool scrolls) {
  ImGui::SetNextWindowPos({r.x, r.y});
  ImGui::SetNextWindowSize({r.w, r.h});
  ImGuiWindowFlags flags = ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings |
                           ImGuiWindowFlags_NoBringToFrontOnFocus;
  if (scrolls)
    flags &= ~ImGuiWindowFlags_NoScrollbar;
  else
    flags |= ImGuiWindowFlags_NoScrollWithMouse;
  const bool open = ImGui::Begin(id, nullptr, flags);
  ui::note_rect(id, {r.x, r.y}, {r.x + r.w, r.y + r.h});
  return open;
}

void end_scrolling_panel() {
  const ImVec2 at = ImGui::GetWindowPos(), size = ImGui::GetWindowSize();
  const float below = ImGui::GetScrollMaxY() - ImGui::GetScrollY(), tall = std::min(px(36), below);
  if (tall > px(14)) {
    ImDrawList* list = ImGui::GetWindowDrawList();
    const float foot = at.y + size.y, right = at.x + size.x - ImGui::GetStyle().ScrollbarSize;
    const ImU32 ground = ImGui::GetColorU32(ImGuiCol_WindowBg), none = with_alpha(ground, 0);
    list->PushClipRect(at, {at.x + size.x, foot});
    list->AddRectFilledMultiColor({at.x, foot - tall}, {right, foot}, none, none, ground, ground);
    const float x = std::floor(0.5f * (at.x + right)), y = foot - px(8);
    const ImVec2 tip[] = {{x - px(6), y - px(5)}, {x, y}, {x + px(6), y - px(5)}};
    list->AddCircleFilled({x, y - px(2.5f)}, px(10), ground, 20);
    list->AddPolyline(tip, 3, theme().soft, 0, px(2));
    list->PopClipRect();
  }
  ImGui::End();
}

void begin_over_view(const char* id, const Rect& r, ImVec2 padding) {
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, padding);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, px(8));
  ImGui::SetNextWindowBgAlpha(0.94f);
  begin_panel(id, r);
}

void end_over_view() {
  ImGui::End();
  ImGui::PopStyleVar(2);
}

}  // namespace intercusp
