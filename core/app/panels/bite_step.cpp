#include "app/panels/panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

const char* mark_of(const MeasureRow& row) {
  const double v = row.value->value;
  if (!row.definition->usual) return "";
  const auto& u = *row.definition->usual;
  return v < u[0] ? "below the usual" : v > u[1] ? "above the usual" : "within the usual";
}

void finding(Workspace& w, const MeasureRow& row) {
  const Theme& t = theme();
  const float width = ImGui::GetContentRegionAvail().x;
  const ui::AreaState s = ui::area(("finding." + row.definition->id).c_str(), {width, px(touch_input() ? 46 : 42)});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  const bool chosen = w.explained == row.definition->id;
  if (s.hovered || chosen) list->AddRectFilled({from.x - px(6), from.y}, to, chosen ? t.accent_ground : t.hover, px(6));
  ui::put_text(list, fonts().small, from.x, from.y + px(3), t.soft, short_name(*row.definition));
  if (row.value) {
    const std::string words = in_words(*row.definition, *row.value);
    ImFont* font = ui::text_width(fonts().strong, words) <= width - px(4) ? fonts().strong : fonts().small_strong;
    ui::put_text(list, font, from.x, from.y + px(19), t.text, ui::fitted(font, words, width - px(4)));
    ui::put_text(list, fonts().small, to.x - px(4), from.y + px(3), t.soft, mark_of(row), 1);
  } else {
    ui::put_text(list, fonts().small, from.x, from.y + px(20), t.overlap_text, "place " + listed(row.needs, 1));
  }
  if (s.clicked) run(w, "explain", {{"id", chosen ? "" : row.definition->id}});
}

}  // namespace

void bite_step(Workspace& w) {
  ui::soft_text(
      "Each reading explains itself: press it to see what was measured on the model, and by whose definition.");
  ui::gap_above(8);
  std::string group;
  for (const MeasureRow& row : std::vector<MeasureRow>(w.readings.now().rows)) {
    const std::string& g = row.definition->group;
    if (g != "incisors" && g != "midlines" && g != "side relations") continue;
    if (!row.value && row.needs.size() == 1 && !known_landmark(row.needs[0]))
      continue;  // waits for bone, not for a click
    finding(w, row);
  }
}

}  // namespace intercusp
