// The numbers: start, now and change of every measure, each with its uncertainty and its usual range as a bar.
#include <algorithm>
#include <cmath>

#include "app/panels/number_words.h"
#include "app/panels/panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

/// Where the columns stand: digits end at `start`, `now` and `change`; what follows them begins right behind.
struct Columns {
  float name, start, now, change, bar, end;
};

Columns columns(float x, float width) {
  const float bar = px(28);  // room before it for the mark of a value that lies below its scale
  return {x,
          x + width - px(203),
          x + width - px(144),
          x + width - bar - px(18),
          x + width - bar - px(4),
          x + width - px(4)};
}

// The usual range as a bar with a mark where the value stands.
void usual_bar(ImDrawList* list, const MeasureDefinition& d, double v, float x0, float x1, float y) {
  if (!d.usual) return;
  const Theme& t = theme();
  const auto& u = *d.usual;
  const double span = std::max(1e-6, u[1] - u[0]), low = u[0] - span, high = u[1] + span;
  const auto at = [&](double q) {
    return x0 + static_cast<float>(std::clamp((q - low) / (high - low), 0.0, 1.0)) * (x1 - x0);
  };
  list->AddLine({x0, y}, {x1, y}, t.line, std::max(1.0f, px(1)));
  list->AddRectFilled({at(u[0]), y - px(1.5f)}, {at(u[1]), y + px(1.5f)}, with_alpha(t.usual, 0.8f));
  const bool inside = v >= u[0] && v <= u[1];
  const float x = at(v);
  if (v < low || v > high)
    ui::beyond_mark(list, "row." + d.id, {x, y}, v > high ? 1 : -1, t.overlap_text, true);
  else if (inside)
    list->AddCircleFilled({x, y}, px(3), t.usual_text);
  else
    list->AddTriangleFilled({x, y - px(4)}, {x - px(3.5f), y + px(3)}, {x + px(3.5f), y + px(3)}, t.overlap_text);
}

// The digits, ending at x; then which way, in small type, a class in a frame of its own. Gives where the writing ends.
float number(ImDrawList* list, ImFont* font, float x, float y, ImU32 ink, const BriefNumber& n, ImU32 frame) {
  ui::put_text(list, font, x, y, ink, n.digits, 1);
  if (n.side.empty()) return x;
  const float small_y = y + font->FontSize - fonts().tiny->FontSize - px(1.5f), from = x + px(frame ? 6 : 3);
  const float end = from + ui::put_text(list, fonts().tiny, from, small_y, ink, n.side);
  if (!frame) return end;
  list->AddRect({from - px(3), small_y}, {end + px(3), small_y + fonts().tiny->FontSize}, frame, px(3), 0,
                std::max(1.0f, px(1)));
  return end + px(3);
}

// The frame of a class: Class I or another, which the word within says as well.
ImU32 class_frame(const MeasureValue& v) {
  if (!v.relation) return 0;
  return *v.relation == "I" ? theme().usual_text : theme().overlap_text;
}

// The change, ending at x: "+1.50", or which way in small type and how far. Gives where it begins.
float change(ImDrawList* list, const MeasureDefinition& d, double by, float x, float y) {
  const Theme& t = theme();
  const BriefNumber n = brief_change(d, by);
  const bool same = n.digits.find_first_of("123456789") == std::string::npos;
  float from = x - ui::put_text(list, fonts().small, x, y, same ? t.soft : t.text, same ? "=" : n.digits, 1);
  if (same || n.side.empty()) return from;
  const float small_y = y + fonts().small->FontSize - fonts().tiny->FontSize - px(1.5f);
  from -= px(3);
  return from - ui::put_text(list, fonts().tiny, from, small_y, t.text, n.side, 1);
}

void numbers(ImDrawList* list, const MeasureRow& row, const MeasureRow* start, const Columns& c, float y, bool moved) {
  const Theme& t = theme();
  const MeasureDefinition& d = *row.definition;
  const float small_y = y + fonts().small->FontSize - fonts().tiny->FontSize - px(1.5f);
  float rest_ends = c.bar;
  if (moved && start && start->value) {
    number(list, fonts().small, c.start, y, t.soft, brief_number(d, *start->value), 0);
    rest_ends = change(list, d, row.value->value - start->value->value, c.change, y);
  }
  const float behind =
      number(list, fonts().small_strong, c.now, y, t.text, brief_number(d, *row.value), class_frame(*row.value));
  const std::string spread = "\xC2\xB1" + uncertainty_digits(d, row.value->uncertainty);
  const float spread_x = std::max(behind + px(4), c.now + px(18));
  const float room = rest_ends - px(6) - spread_x;  // the explanation says it as well
  if (ui::text_width(fonts().tiny, spread) <= room) ui::put_text(list, fonts().tiny, spread_x, small_y, t.soft, spread);
}

void check_box(ImDrawList* list, float x, float y, bool on) {
  const Theme& t = theme();
  const float e = px(12);
  list->AddRect({x, y}, {x + e, y + e}, on ? t.accent : t.soft, px(3), 0, std::max(1.0f, px(1.5f)));
  if (!on) return;
  const ImVec2 tick[] = {{x + px(2.5f), y + px(6)}, {x + px(5), y + px(8.5f)}, {x + px(9.5f), y + px(3.5f)}};
  list->AddPolyline(tick, 3, t.accent, 0, std::max(1.5f, px(2)));
}

void table_row(Workspace& w, const MeasureRow& row, const Columns& c, float height, bool moved) {
  const Theme& t = theme();
  const MeasureDefinition& d = *row.definition;
  const ui::AreaState s = ui::area(("row." + d.id).c_str(), {c.end - c.name, height});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  const bool chosen = w.explained == d.id, hidden = w.rows_hidden.count(d.id) > 0;
  if (s.hovered || chosen) list->AddRectFilled(from, to, chosen ? t.accent_ground : t.hover, px(4));
  const float y = from.y + std::floor(0.5f * (height - fonts().small->FontSize));
  if (w.choosing_rows) check_box(list, c.name, y + px(2), !hidden);
  const float name = c.name + px(w.choosing_rows ? 20 : 2);
  ui::put_text(list, fonts().small, name, y, hidden ? t.soft : t.text, short_name(d));
  if (row.value && !w.choosing_rows) {
    numbers(list, row, w.readings.start().row(d.id), c, y, moved);
    usual_bar(list, d, row.value->value, c.bar, c.end, y + 0.5f * fonts().small->FontSize);
  } else if (!row.value) {
    const float room = c.end - name - ui::text_width(fonts().small, short_name(d)) - px(10);
    ui::put_text(list, fonts().small, c.end, y, t.soft,
                 ui::fitted(fonts().small, "place " + listed(row.needs, 1), room), 1);
  }
  if (!s.clicked) return;
  if (w.choosing_rows)
    run(w, "rows", {{"id", d.id}, {"on", hidden}});
  else
    run(w, "explain", {{"id", chosen ? "" : d.id}});
}

// What the table does, in small words where the names stand; then the names of the columns.
void head(Workspace& w, const Columns& c, bool moved) {
  const ImVec2 at = ImGui::GetCursorScreenPos();
  ImDrawList* list = ImGui::GetWindowDrawList();
  const ImU32 soft = theme().soft;
  const float h = touch_input() ? target_height() : px(18), y = at.y + std::floor(0.5f * (h - fonts().small->FontSize));
  if (!w.choosing_rows) {
    if (moved) {
      ui::put_text(list, fonts().small, c.start, y, soft, "start", 1);
      ui::put_text(list, fonts().small, c.change, y, soft, "change", 1);
    }
    ui::put_text(list, fonts().small, c.now, y, soft, "now", 1);
    ui::put_text(list, fonts().small, c.end, y, soft, "usual", 1);
  }
  ImGui::SetCursorScreenPos({at.x, std::floor(y - (touch_input() ? 0.5f * (h - fonts().small->FontSize) : px(1)))});
  if (ui::link("rows.choose", w.choosing_rows ? "Done" : "Rows")) w.choosing_rows = !w.choosing_rows;
  ImGui::SameLine(0, px(14));
  if (ui::link("numbers.copy", "Copy")) run(w, "copy_numbers", {{"format", ImGui::GetIO().KeyShift ? "csv" : "text"}});
  if (ImGui::IsItemHovered()) ui::hint_tip("As text; with Shift as CSV for a spreadsheet");
  ImGui::SetCursorScreenPos({at.x, at.y + h + px(2)});
}

}  // namespace

void number_table(Workspace& w, bool whole) {
  const bool moved = w.moved();
  const float width = ImGui::GetContentRegionAvail().x;
  head(w, columns(ImGui::GetCursorScreenPos().x, width), moved);
  const float rest = ImGui::GetContentRegionAvail().y;
  const std::vector<MeasureRow> rows = number_rows(w, w.choosing_rows);
  const float fitting = std::floor((rest - px(1)) / static_cast<float>(std::max<std::size_t>(1, rows.size())));
  const float least = touch_input() ? target_height() : px(17);
  const float height = std::clamp(fitting, least, std::max(least, px(26)));
  const bool scrolls = fitting < least && !whole;
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(0, 0));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(0, 0));
  // Whole rows only: a sliced one reads as a fault.
  const float seen = scrolls ? std::floor(rest / least) * least : rest;
  if (!whole) ImGui::BeginChild("rows", {width, seen}, false, scrolls ? 0 : ImGuiWindowFlags_NoScrollbar);
  const Columns c = columns(ImGui::GetCursorScreenPos().x, ImGui::GetContentRegionAvail().x - px(scrolls ? 6 : 0));
  for (const MeasureRow& row : rows) table_row(w, row, c, height, moved);
  if (!whole) ImGui::EndChild();
  ImGui::PopStyleVar(2);
}

}  // namespace intercusp
