// The numbers: start, now and change of every measure, with its usual range as a bar.
#include <algorithm>
#include <cmath>

#include "app/panels/panels.h"
#include "app/panels/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

struct Columns {
  float name, start, now, change, end;  // x; numbers end at their column's x
};

// A value without bare sign: what a negative one means stands as one letter or word.
std::string brief(const MeasureDefinition& d, double v) {
  const int decimals = d.unit == "%" ? 1 : 2;
  const std::string n = amount(v, decimals);
  if (n.find_first_of("123456789") == std::string::npos) return n;
  if (d.group == "midlines") return n + (v > 0 ? " L" : " R");
  if (d.group == "side relations") return n + (v > 0 ? " II" : " III");
  if (v >= 0) return n;
  if (d.id == "overjet") return n + " rev";
  if (d.id == "overbite" || d.id == "overbite_percent") return n + " open";
  return "\xE2\x88\x92" + n;
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
  if (inside)
    list->AddCircleFilled({x, y}, px(3), t.usual_text);
  else
    list->AddTriangleFilled({x, y - px(4)}, {x - px(3.5f), y + px(3)}, {x + px(3.5f), y + px(3)}, t.overlap_text);
}

void numbers(ImDrawList* list, const MeasureRow& row, const MeasureRow* start, const Columns& c, float y, bool moved) {
  const Theme& t = theme();
  const MeasureDefinition& d = *row.definition;
  ui::put_text(list, fonts().small_strong, c.now, y, t.text, brief(d, row.value->value), 1);
  if (!moved || !start || !start->value) return;
  ui::put_text(list, fonts().small, c.start, y, t.soft, brief(d, start->value->value), 1);
  const double change = row.value->value - start->value->value;
  const std::string words = change_amount(change, d.unit == "%" ? 1 : 2);
  const bool same = words.find_first_of("123456789") == std::string::npos;
  ui::put_text(list, fonts().small, c.change, y, same ? t.soft : t.text, same ? "=" : words, 1);
}

void table_row(Workspace& w, const MeasureRow& row, const Columns& c, float height, bool moved) {
  const Theme& t = theme();
  const MeasureDefinition& d = *row.definition;
  const float width = c.end - c.name;
  const ui::AreaState s = ui::area(("row." + d.id).c_str(), {width, height});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  const bool chosen = w.explained == d.id;
  if (s.hovered || chosen) list->AddRectFilled(from, to, chosen ? t.accent_ground : t.hover, px(4));
  const float y = from.y + std::floor(0.5f * (height - fonts().small->FontSize)) - px(1);
  ui::put_text(list, fonts().small, c.name + px(4), y, t.text, short_name(d));
  if (row.value) {
    numbers(list, row, w.readings.start().row(d.id), c, y, moved);
    usual_bar(list, d, row.value->value, c.change + px(8), c.end - px(4), y + 0.5f * fonts().small->FontSize);
  } else {
    ui::put_text(list, fonts().small, c.end - px(4), y, t.soft, "place " + listed(row.needs, 1), 1);
  }
  if (s.clicked) run(w, "explain", {{"id", chosen ? "" : d.id}});
}

// What waits for bone, and not for a click, is left to the list of readings.
std::vector<MeasureRow> shown_rows(const Workspace& w) {
  std::vector<MeasureRow> rows = w.readings.now().rows;
  const auto waits = [](const MeasureRow& r) { return !r.value && r.needs.size() == 1 && !known_landmark(r.needs[0]); };
  rows.erase(std::remove_if(rows.begin(), rows.end(), waits), rows.end());
  return rows;
}

}  // namespace

void number_table(Workspace& w) {
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float width = ImGui::GetContentRegionAvail().x, rest = ImGui::GetContentRegionAvail().y;
  const bool moved = w.current_plan() && !w.current_plan()->entries.empty() && !w.show_start;
  const float bar = px(42);
  Columns c{at.x, at.x + width - bar - px(118), at.x + width - bar - px(52), at.x + width - bar, at.x + width};
  ImDrawList* list = ImGui::GetWindowDrawList();
  const ImU32 soft = theme().soft;
  if (moved) {
    ui::put_text(list, fonts().small, c.start, at.y, soft, "start", 1);
    ui::put_text(list, fonts().small, c.change, at.y, soft, "change", 1);
  }
  ui::put_text(list, fonts().small, c.now, at.y, soft, "now", 1);
  ui::put_text(list, fonts().small, c.end - px(4), at.y, soft, "usual", 1);
  ImGui::Dummy({width, px(16)});
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(0, 0));
  const std::vector<MeasureRow> rows = shown_rows(w);
  const float fitting = std::floor((rest - px(26)) / static_cast<float>(std::max<std::size_t>(1, rows.size())));
  const float height = std::clamp(fitting, px(touch_input() ? 28.0f : 16.0f), px(26));
  for (const MeasureRow& row : rows) table_row(w, row, c, height, moved);
  ImGui::PopStyleVar();
}

}  // namespace intercusp
