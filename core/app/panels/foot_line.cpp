#include <algorithm>

#include "app/panels/panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/stops.h"

namespace intercusp {

namespace {

// Form first: a tick, a ring, a triangle.
void draw_state(ImDrawList* list, float cx, float cy, StopState state) {
  const Theme& t = theme();
  const float line = std::max(1.5f, px(1.5f));
  if (state == StopState::done) {
    list->AddCircleFilled({cx, cy}, px(6.5f), t.usual_text, 20);
    const ImVec2 tick[] = {{cx - px(3), cy}, {cx - px(0.8f), cy + px(2.4f)}, {cx + px(3.2f), cy - px(2.4f)}};
    list->AddPolyline(tick, 3, t.panel, 0, line);
  } else if (state == StopState::open) {
    list->AddCircle({cx, cy}, px(5.5f), t.soft, 20, line);
  } else {
    list->AddTriangleFilled({cx, cy - px(6.5f)}, {cx - px(7), cy + px(5.5f)}, {cx + px(7), cy + px(5.5f)},
                            t.overlap_text);
    list->AddLine({cx, cy - px(2.5f)}, {cx, cy + px(1.5f)}, t.panel, line);
    list->AddCircleFilled({cx, cy + px(3.6f)}, px(1), t.panel);
  }
}

// How a stop is set: with its second line, and close where there is little room.
struct StopSetting {
  bool word = true, close = false;
  float mark() const { return px(close ? 10 : 15); }
  float words() const { return px(close ? 20 : 26); }
  float after() const { return px(close ? 3 : 8); }
};

// One stop: name above, state below.
void draw_stop(Workspace& w, Stop stop, float width, float height, const StopSetting& set) {
  const Theme& t = theme();
  const StopWord state = state_of_stop(w, stop);
  const std::string id = std::string("stop.") + stop_name(stop);
  const ui::AreaState s = ui::area(id.c_str(), {width, height});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  const bool here = w.stop == stop;
  if (here || s.hovered) list->AddRectFilled(from, to, here ? t.accent_ground : t.hover, px(6));
  draw_state(list, from.x + set.mark(), from.y + px(15), state.state);
  const ImU32 ink = here ? t.accent : t.text;
  ui::put_text(list, here ? fonts().small_strong : fonts().small, from.x + set.words(), from.y + px(8), ink,
               capital(stop_name(stop)));
  const std::string word = set.word ? ui::fitted(fonts().small, state.word, width - set.words()) : "";
  const ImU32 word_ink = state.state == StopState::attention ? t.overlap_text : t.soft;
  if (set.word) ui::put_text(list, fonts().small, from.x + set.words(), from.y + px(24), word_ink, word);
  if (s.hovered && word != state.word) ui::hint_tip(state.word.c_str());  // only what does not stand there
  if (s.clicked) run(w, "stop", {{"name", stop_name(stop)}});
}

float stop_width(Workspace& w, Stop stop, const StopSetting& set) {
  float words = ui::text_width(fonts().small_strong, capital(stop_name(stop)));
  if (set.word) words = std::max(words, ui::text_width(fonts().small, state_of_stop(w, stop).word));
  return words + set.words() + set.after();
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
  const bool below = r.h > px(80);  // upright: the hint has a line of its own
  const float room = r.w - px(16), for_stops = below ? room : room - px(220);
  const StopSetting settings[] = {{true, false}, {true, true}, {below, true}};
  StopSetting set;
  float stops = 0;
  for (const StopSetting& tried : settings) {
    set = tried;
    stops = 0;
    for (int i = 0; i < kStops; ++i) stops += stop_width(w, static_cast<Stop>(i), set);
    if (stops <= for_stops) break;
  }
  const float line = px(touch_input() ? 44 : 42);
  const bool hint = !below && stops + px(150) <= room;
  const float squeeze = hint ? 1 : std::min(1.0f, room / stops);
  for (int i = 0; i < kStops; ++i) {
    const Stop stop = static_cast<Stop>(i);
    draw_stop(w, stop, std::floor(stop_width(w, stop, set) * squeeze), line, set);
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
