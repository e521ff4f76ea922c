// The legend of a splint's wall thickness.
#include <algorithm>

#include "app/panels/panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/splint.h"
#include "base/colour_maps.h"

namespace intercusp {

namespace {

constexpr float kThickLegendWidth = 252, kThickLegendHeight = 96, kThickBar = 220;

void thickness_bar(ImDrawList* list, ImVec2 at, float w, float h) {
  constexpr int parts = 64;
  for (int i = 0; i < parts; ++i) {
    const float x0 = at.x + w * static_cast<float>(i) / parts, x1 = at.x + w * static_cast<float>(i + 1) / parts;
    const Rgb8 c = cividis_colour((i + 0.5) / parts);
    list->AddRectFilled({x0, at.y}, {x1 + 0.5f, at.y + h}, IM_COL32(c[0], c[1], c[2], 255));
  }
}

}  // namespace

float legend_room(const Workspace& w) {
  if (w.gap.on) return px(88) + (touch_input() ? target_height() : px(22));
  return shown_splint(w) && w.splint.thickness ? px(kThickLegendHeight + 12) : 0;
}

void thickness_legend(Workspace& w, const Rect& view) {
  const MadeSplint* made = shown_splint(w);
  if (!made || !w.splint.thickness || w.gap.on) return;
  const Theme& t = theme();
  const Rect r{view.x + px(12), view.y + view.h - px(40) - px(kThickLegendHeight), px(kThickLegendWidth),
               px(kThickLegendHeight)};
  begin_over_view("legend", r, ImVec2(px(16), px(8)));
  ImDrawList* list = ImGui::GetWindowDrawList();
  const ImVec2 at{r.x + px(16), r.y + px(28)};
  const float width = px(kThickBar), height = px(12);
  const double least = made->asked.settings.least_thickness_mm;
  ui::put_text(list, fonts().small, at.x, r.y + px(5), t.text, "wall thickness, mm");
  thickness_bar(list, at, width, height);
  const float thin = width * static_cast<float>(std::min(1.0, least / kThicknessMapMm));
  ui::hatch(list, at, {at.x + thin, at.y + height}, t.overlap_text, px(4));
  for (int i = 0; i <= 4; ++i) {
    const float x = at.x + width * static_cast<float>(i) / 4;
    list->AddLine({x, at.y + height + px(2)}, {x, at.y + height + px(5)}, t.soft, std::max(1.0f, px(1)));
    const std::string words = amount(kThicknessMapMm * i / 4, 0);
    ui::put_text(list, fonts().tiny, x, at.y + height + px(6), t.text, words, i == 0 ? 0.0f : i == 4 ? 1.0f : 0.5f);
  }
  ui::put_text(list, fonts().small, at.x, r.y + px(70), t.text, "Hatched: thinner than " + amount(least, 1) + " mm");
  end_over_view();
}

}  // namespace intercusp
