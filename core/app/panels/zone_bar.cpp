// What a hand that paints a zone has beside it: brush or wipe, its radius, the area, and the way out.
#include <cmath>

#include "app/panels/panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

std::string painted_words(const Workspace& w) {
  double area = 0;
  for (const PaintedZone& zone : w.zones.all()) area += zone.area_mm2;
  return area > 0 ? amount(area, 0) + " mm\xC2\xB2 painted" : "drag on the model";
}

void brush_radii(Workspace& w) {
  const ImVec2 at = ImGui::GetCursorScreenPos();
  ImDrawList* list = ImGui::GetWindowDrawList();
  const float y = std::floor(at.y + 0.5f * (target_height() - fonts().small->FontSize));
  const float words = ui::put_text(list, fonts().small, at.x + px(4), y, theme().soft, "Radius, mm");
  ImGui::SetCursorScreenPos({at.x + words + px(12), at.y});
  ui::ButtonLook look;
  look.weight = ui::Weight::quiet;
  look.width = std::max(target_height(), px(32));
  for (const double mm : {1.0, 2.0, 4.0}) {
    look.chosen = std::abs(w.brush_mm - mm) < 1e-9;
    const std::string label = amount(mm, 0);
    if (ui::button(("zone.brush." + label).c_str(), label.c_str(), look)) w.brush_mm = mm;
    ImGui::SameLine(0, px(2));
  }
  const ImVec2 behind = ImGui::GetCursorScreenPos();
  ui::put_text(list, fonts().small, behind.x + px(12), y, theme().text, painted_words(w));
  ImGui::NewLine();
}

}  // namespace

void zone_bar(Workspace& w, const Rect& view) {
  if (w.tool != Tool::paint_zone) return;
  const float h = px(20) + 2 * target_height() + px(6);
  const Rect r{view.x + px(8), view.y + tool_strip_height(view.w), std::min(px(372), view.w - px(16)), h};
  begin_over_view("zone_bar", r, ImVec2(px(10), px(10)));
  for (const bool wipe : {false, true}) {
    ui::ButtonLook look;
    look.weight = ui::Weight::quiet;
    look.chosen = w.erasing == wipe;
    look.hint = wipe ? "Alt while dragging does the same" : "Drag on the model; Esc ends";
    if (ui::button(wipe ? "zone.wipe" : "zone.brush", wipe ? "Wipe off" : "Paint a zone", look))
      run(w, "paint_zone", {{"on", true}, {"erase", wipe}});
    ImGui::SameLine(0, px(2));
  }
  ui::ButtonLook done;
  done.hint = "Esc does the same";
  ImGui::SetCursorPosX(r.w - px(10) - ui::text_width(fonts().body, "Done") - px(24));
  if (ui::button("zone.done", "Done", done)) run(w, "paint_zone", {{"on", false}});
  brush_radii(w);
  end_over_view();
}

}  // namespace intercusp
