#include <algorithm>

#include "app/panels/panels.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/stops.h"

namespace intercusp {

namespace {

// Form first: a tick, a ring, a triangle, a dash.
void draw_state(ImDrawList* list, float cx, float cy, StopState state) {
  const Theme& t = theme();
  const float s = px(4.5f), line = std::max(1.5f, px(1.5f));
  if (state == StopState::done) {
    list->AddCircleFilled({cx, cy}, px(6.5f), t.usual_text, 20);
    const ImVec2 tick[] = {{cx - px(3), cy}, {cx - px(0.8f), cy + px(2.4f)}, {cx + px(3.2f), cy - px(2.4f)}};
    list->AddPolyline(tick, 3, t.panel, 0, line);
  } else if (state == StopState::open) {
    list->AddCircle({cx, cy}, px(5.5f), t.soft, 20, line);
  } else if (state == StopState::attention) {
    list->AddTriangleFilled({cx, cy - px(6.5f)}, {cx - px(7), cy + px(5.5f)}, {cx + px(7), cy + px(5.5f)},
                            t.overlap_text);
    list->AddLine({cx, cy - px(2.5f)}, {cx, cy + px(1.5f)}, t.panel, line);
    list->AddCircleFilled({cx, cy + px(3.6f)}, px(1), t.panel);
  } else {
    list->AddLine({cx - s, cy}, {cx + s, cy}, t.faint, line);
  }
}

std::string capital(std::string word) {
  if (!word.empty()) word[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(word[0])));
  return word;
}

// One stop: name above, state below; returns its width.
void draw_stop(Workspace& w, Stop stop, float width, float height, bool with_word) {
  const Theme& t = theme();
  const StopWord state = state_of_stop(w, stop);
  const std::string id = std::string("stop.") + stop_name(stop);
  const ui::AreaState s = ui::area(id.c_str(), {width, height});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  const bool here = w.stop == stop;
  if (here || s.hovered) list->AddRectFilled(from, to, here ? t.accent_ground : t.hover, px(6));
  draw_state(list, from.x + px(15), from.y + px(15), state.state);
  const ImU32 ink = state.state == StopState::later && !here ? t.soft : here ? t.accent : t.text;
  ui::put_text(list, here ? fonts().small_strong : fonts().small, from.x + px(26), from.y + px(8), ink,
               capital(stop_name(stop)));
  if (with_word) {
    const ImU32 word = state.state == StopState::attention ? t.overlap_text : t.soft;
    ui::put_text(list, fonts().small, from.x + px(26), from.y + px(24), word, state.word);
  }
  if (s.hovered) ui::hint_tip(state.word.c_str());
  if (s.clicked) run(w, "stop", {{"name", stop_name(stop)}});
}

float stop_width(Workspace& w, Stop stop, bool with_word) {
  float words = ui::text_width(fonts().small_strong, capital(stop_name(stop)));
  if (with_word) words = std::max(words, ui::text_width(fonts().small, state_of_stop(w, stop).word));
  return words + px(34);
}

void draw_hint(Workspace& w, float width, float height) {
  const Theme& t = theme();
  const NextThing next = next_thing(w);
  const ui::AreaState s = ui::area("hint", {width, height});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  list->AddRectFilled(from, to, s.held ? t.held : s.hovered ? t.hover : t.raised, px(6));
  ui::put_text(list, fonts().small_strong, from.x + px(12), from.y + px(6), t.accent, "Next");
  // Words that do not fit in one line go on in a second.
  ImFont* font = fonts().small;
  const float room = width - px(24);
  list->PushClipRect(from, to, true);
  const float y = from.y + px(22);
  if (ui::text_width(font, next.words) <= room) {
    ui::put_text(list, font, from.x + px(12), y, t.text, next.words);
  } else {
    const float after = ui::text_width(fonts().small_strong, "Next") + px(8);
    ui::put_lines(list, font, from.x + px(12) + after, from.y + px(4), room - after, t.text, next.words);
  }
  list->PopClipRect();
  if (s.clicked) run(w, next.command, next.args);
}

}  // namespace

void foot_line(Workspace& w, const Rect& r) {
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(px(8), px(5)));
  begin_panel("foot", r);
  ImGui::GetWindowDrawList()->AddLine({r.x, r.y}, {r.x + r.w, r.y}, theme().line);
  float stops = 0;
  bool words = true;
  const float least_hint = px(220), room = r.w - px(16);
  for (int i = 0; i < kStops; ++i) stops += stop_width(w, static_cast<Stop>(i), true);
  if (stops + least_hint > room) {
    words = false;
    stops = 0;
    for (int i = 0; i < kStops; ++i) stops += stop_width(w, static_cast<Stop>(i), false);
  }
  const float line = px(touch_input() ? 44 : 42);
  const bool below = r.h > px(80), hint = !below && stops + px(150) <= room;  // upright: the hint has a line of its own
  const float squeeze = hint ? 1 : std::min(1.0f, room / stops);
  for (int i = 0; i < kStops; ++i) {
    const Stop stop = static_cast<Stop>(i);
    draw_stop(w, stop, std::floor(stop_width(w, stop, words) * squeeze), line, words);
    ImGui::SameLine(0, 0);
  }
  if (hint) draw_hint(w, room - stops, line);
  if (below) {
    ImGui::NewLine();
    ImGui::SetCursorPosY(px(8) + line);
    draw_hint(w, room, line);
  }
  ImGui::End();
  ImGui::PopStyleVar();
}

}  // namespace intercusp
