// How moves like the plan's are reported to hold: in short beside the movement, in full with the source over the view.
#include <algorithm>

#include "app/panels/panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/feasibility.h"

namespace intercusp {

namespace {

constexpr char kTitle[] = "How such moves are reported to hold";

bool asks_for_a_look(const StabilityNote& note) {
  return note.beyond_usual || note.rank == "problematic";
}

std::string rank_words(const StabilityNote& note) {
  return note.beyond_usual ? note.rank + ", beyond the usual" : note.rank;
}

ImU32 rank_colour(const StabilityNote& note) {
  const bool holds = note.rank == "very stable" || note.rank == "stable";
  return asks_for_a_look(note) ? theme().overlap_text : holds ? theme().usual_text : theme().text;
}

// What asks for a look first.
std::vector<StabilityNote> notes_in_order(const Workspace& w) {
  std::vector<StabilityNote> notes = plan_stability(w);
  std::stable_sort(notes.begin(), notes.end(), [](const StabilityNote& a, const StabilityNote& b) {
    return asks_for_a_look(a) && !asks_for_a_look(b);
  });
  return notes;
}

// A mark by form: a triangle that asks for a look, else a dot.
void rank_mark(ImDrawList* list, ImVec2 at, const StabilityNote& note) {
  const float r = px(4);
  if (asks_for_a_look(note))
    list->AddTriangleFilled({at.x - r, at.y + r}, {at.x + r, at.y + r}, {at.x, at.y - r}, rank_colour(note));
  else
    list->AddCircleFilled(at, px(3), rank_colour(note), 12);
}

void short_row(ImDrawList* list, const StabilityNote& note, ImVec2 at, float width) {
  ImFont* font = fonts().small;
  rank_mark(list, {at.x + px(4), at.y + 0.5f * font->FontSize}, note);
  const std::string rank = rank_words(note);
  const float taken = ui::text_width(fonts().small_strong, rank);
  ui::put_text(list, fonts().small_strong, at.x + width, at.y, rank_colour(note), rank, 1);
  ui::put_text(list, font, at.x + px(14), at.y, theme().text,
               ui::fitted(font, capital(note.move), width - taken - px(22)));
}

// A rank too long to stand beside its move stands below it.
float row_height(const StabilityNote& note, float width) {
  const float both = ui::text_width(fonts().small, capital(note.move)) +
                     ui::text_width(fonts().small_strong, rank_words(note)) + px(22);
  return (both > width ? 2 : 1) * (fonts().small->FontSize + px(2));
}

void draw_row(ImDrawList* list, const StabilityNote& note, ImVec2 at, float width) {
  const float line = fonts().small->FontSize + px(2);
  if (row_height(note, width) <= line) return short_row(list, note, at, width);
  rank_mark(list, {at.x + px(4), at.y + 0.5f * fonts().small->FontSize}, note);
  ui::put_text(list, fonts().small, at.x + px(14), at.y, theme().text,
               ui::fitted(fonts().small, capital(note.move), width - px(14)));
  ui::put_text(list, fonts().small_strong, at.x + px(14), at.y + line, rank_colour(note),
               ui::fitted(fonts().small_strong, rank_words(note), width - px(14)));
}

float full_note(const StabilityNote& note, float width, bool draw) {
  std::vector<std::pair<ImFont*, std::string>> lines{{fonts().strong, capital(note.move)},
                                                     {fonts().small_strong, rank_words(note)},
                                                     {fonts().small, capital(note.words) + "."}};
  if (!note.usual.empty()) lines.push_back({fonts().small, capital(note.usual) + "."});
  lines.push_back({fonts().small, "By: " + note.source});
  float height = px(8);
  if (draw) ui::gap_above(8);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const auto& [font, words] = lines[i];
    height += ui::lines_height(font, words, width) + ImGui::GetStyle().ItemSpacing.y;
    const bool source = i + 1 == lines.size();
    if (draw) ui::paragraph(font, i == 1 ? rank_colour(note) : source ? theme().soft : theme().text, words.c_str());
  }
  return height;
}

}  // namespace

void stability_rows(Workspace& w) {
  const auto notes = notes_in_order(w);
  if (notes.empty()) return;
  ui::gap_above(4);
  const float width = ImGui::GetContentRegionAvail().x, line = fonts().small->FontSize + px(2);
  const float room = std::max(ImGui::GetContentRegionAvail().y - px(4), 3 * line);
  float h = line;
  std::size_t shown = 0;
  while (shown < notes.size()) {
    const float more = shown + 1 < notes.size() ? line : 0, row = row_height(notes[shown], width);
    if (shown > 0 && h + row + more > room) break;
    h += row;
    ++shown;
  }
  const bool some_left = shown < notes.size();
  const float all = std::max(h + (some_left ? line : 0), touch_input() ? target_height() : 0);
  const ui::AreaState s = ui::area("stability", {width, all});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  if (s.hovered || w.stability_open)
    list->AddRectFilled({from.x - px(6), from.y - px(2)}, {to.x + px(6), to.y + px(2)},
                        w.stability_open ? theme().accent_ground : theme().hover, px(6));
  ui::put_text(list, fonts().small, from.x, from.y, theme().soft, kTitle);
  ImVec2 at{from.x, from.y + line};
  for (std::size_t i = 0; i < shown; ++i) {
    draw_row(list, notes[i], at, width);
    at.y += row_height(notes[i], width);
  }
  if (some_left)
    ui::put_text(list, fonts().small, at.x + px(14), at.y, theme().accent,
                 std::to_string(notes.size() - shown) + " more");
  if (s.hovered) ui::hint_tip("What is reported, and by whom");
  if (s.clicked) run(w, "stability");
}

void stability_card(Workspace& w, const Rect& view) {
  if (!w.stability_open || w.stop != Stop::movement) return;
  const auto notes = notes_in_order(w);
  if (notes.empty()) return;
  const float width = std::min(px(380), view.w - px(16)), inner = width - px(36), top = tool_strip_height(view.w);
  float height = px(24) + target_height() + px(8);
  for (const StabilityNote& note : notes) height += full_note(note, inner, false);
  const Rect r{view.x + px(8), view.y + top, width, std::min(height, view.h - top - px(48))};
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, px(10));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(px(16), px(12)));
  begin_panel("stability_card", r, true);
  const bool close = ui::title_line(fonts().strong, kTitle, "stability.close", "Close", r.w - px(16));
  for (const StabilityNote& note : notes) full_note(note, inner, true);
  end_scrolling_panel();
  ImGui::PopStyleVar(2);
  if (close) run(w, "stability", {{"on", false}});
}

}  // namespace intercusp
