// The small row of tools on the views and the legend of the contact map.
#include <algorithm>
#include <cmath>

#include "app/panels/panels.h"
#include "app/panels/words.h"
#include "base/colour_maps.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

struct ViewButton {
  const char* id;
  const char* label;
  const char* hint;
};

constexpr ViewButton kRecords[] = {{"front", "Front", "1"},
                             {"right", "Right", "2, the patient's right"},
                             {"left", "Left", "3, the patient's left"},
                             {"upper", "Upper", "4, the upper arch from below"},
                             {"lower", "Lower", "5, the lower arch from above"},
                             {"fit", "Fit", "0"}};
constexpr ViewButton kLayouts[] = {{"one", "1", "One view"},
                             {"two", "2", "Two views"},
                             {"four", "4", "Four views"},
                             {"record", "5", "The five views of a record"}};

ui::ButtonLook tight(const char* label, const char* hint, bool chosen) {
  ui::ButtonLook look;
  look.weight = ui::Weight::quiet;
  look.hint = hint;
  look.chosen = chosen;
  look.width = ui::text_width(fonts().strong, label) + px(12);
  return look;
}

void group_gap() {
  ImGui::SameLine(0, px(10));
}

void records(Workspace& w) {
  for (const ViewButton& t : kRecords) {
    const bool chosen = w.views[w.active_view].record == t.id;
    if (ui::button((std::string("view.") + t.id).c_str(), t.label, tight(t.label, t.hint, chosen)))
      run(w, "view", {{"name", t.id}});
    ImGui::SameLine(0, 0);
  }
}

void layouts(Workspace& w) {
  for (const ViewButton& t : kLayouts) {
    if (ui::button((std::string("layout.") + t.id).c_str(), t.label, tight(t.label, t.hint, w.layout == t.id)))
      run(w, "layout", {{"name", t.id}});
    ImGui::SameLine(0, 0);
  }
}

void switches(Workspace& w) {
  if (ui::button("tool.section", "Section", tight("Section", "S, cut through the incisors measured", w.section.on)))
    run(w, "section");
  ImGui::SameLine(0, 0);
  if (ui::button("tool.ghost", "Start", tight("Start", "G, the start of the plan as an outline", w.ghost)))
    run(w, "ghost");
  ImGui::SameLine(0, 0);
  if (ui::button("tool.contacts", "Contacts", tight("Contacts", "C, colour the gap between the jaws", w.gap.on)))
    run(w, "contact_map");
}

float total_width() {
  float sum = px(40);
  for (const ViewButton& t : kRecords) sum += ui::text_width(fonts().strong, t.label) + px(12);
  for (const ViewButton& t : kLayouts) sum += ui::text_width(fonts().strong, t.label) + px(12);
  for (const char* label : {"Section", "Start", "Contacts"}) sum += ui::text_width(fonts().strong, label) + px(12);
  return sum;
}

}  // namespace

void view_tools(Workspace& w, const Rect& view) {
  const float width = std::min(view.w - px(16), total_width());
  const Rect r{view.x + px(8), view.y + px(8), width, target_height() + px(8)};
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(px(4), px(4)));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, px(8));
  ImGui::SetNextWindowBgAlpha(0.88f);
  begin_panel("view_tools", r);
  records(w);
  group_gap();
  layouts(w);
  group_gap();
  switches(w);
  ImGui::End();
  ImGui::PopStyleVar(2);
}

namespace {

constexpr float kLegendWidth = 232, kLegendBar = 200;

ImU32 legend_colour(const GapView& gap, double mm) {
  const Rgb8 c = gap.mode == GapMode::signed_gap ? diverging_colour(0.5 - 0.5 * mm / gap.limit_mm)
                                                 : cividis_colour(-mm / gap.limit_mm);
  return IM_COL32(c[0], c[1], c[2], 255);
}

void legend_bar(const GapView& gap, ImDrawList* list, ImVec2 at, float w, float h) {
  const double from = gap.limit_mm, to = -gap.limit_mm;
  constexpr int parts = 64;
  for (int i = 0; i < parts; ++i) {
    const float x0 = at.x + w * static_cast<float>(i) / parts, x1 = at.x + w * static_cast<float>(i + 1) / parts;
    const double mm = gap.mode == GapMode::signed_gap ? from + (to - from) * (i + 0.5) / parts : to * (i + 0.5) / parts;
    list->AddRectFilled({x0, at.y}, {x1 + 0.5f, at.y + h}, legend_colour(gap, mm));
  }
}

// Dragging either end of the bar changes the limit.
void legend_drag(Workspace& w, ImVec2 at, float bar_w, float bar_h) {
  ImGui::SetCursorScreenPos({at.x - px(8), at.y - px(6)});
  const ui::AreaState s = ui::area("legend.limit", {bar_w + px(16), bar_h + px(12)});
  if (s.hovered || s.held) ImGui::SetMouseCursor(ImGuiMouseCursor_ResizeEW);
  if (!s.held) return;
  const float dx = ImGui::GetIO().MouseDelta.x;
  const bool right = ImGui::GetIO().MousePos.x > at.x + 0.5f * bar_w;
  if (dx != 0)
    run(w, "contact_map", {{"on", true}, {"limit_mm", w.gap.limit_mm * std::pow(1.01, (right ? dx : -dx) / px(1))}});
}

}  // namespace

void gap_legend(Workspace& w, const Rect& view) {
  if (!w.gap.on) return;
  const bool two = w.gap.mode == GapMode::signed_gap;
  const Rect r{view.x + px(16), view.y + view.h - px(132), px(kLegendWidth), px(96)};
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(px(16), px(8)));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, px(8));
  ImGui::SetNextWindowBgAlpha(0.92f);
  begin_panel("legend", r);
  ImDrawList* list = ImGui::GetWindowDrawList();
  const ImVec2 at{r.x + px(16), r.y + px(30)};
  const float bw = px(kLegendBar), bh = px(12);
  ui::put_text(list, fonts().small, at.x, r.y + px(8), theme().text, two ? "gap" : "0");
  ui::put_text(list, fonts().small, at.x + bw, r.y + px(8), theme().overlap_text, "overlap", 1);
  legend_bar(w.gap, list, at, bw, bh);
  ui::hatch(list, {at.x + (two ? 0.5f * bw : 0), at.y + bh}, {at.x + bw, at.y + bh + px(4)}, theme().overlap_text,
            px(4));
  const std::string limit = amount(w.gap.limit_mm, 2) + " mm";
  ui::put_text(list, fonts().small, at.x, at.y + bh + px(6), theme().soft, two ? limit : "0 mm");
  if (two) ui::put_text(list, fonts().small, at.x + 0.5f * bw, at.y + bh + px(6), theme().soft, "0", 0.5f);
  ui::put_text(list, fonts().small, at.x + bw, at.y + bh + px(6), theme().soft, limit, 1);
  ImGui::SetCursorScreenPos({r.x + px(12), r.y + px(66)});
  legend_drag(w, at, bw, bh);
  ui::put_text(list, fonts().small, at.x, at.y + bh + px(24), theme().soft, "drag the ends");
  ImGui::SetCursorScreenPos({r.x + px(120), r.y + px(66)});
  if (ui::link("legend.mode", two ? "only overlap" : "gap and overlap"))
    run(w, "contact_map", {{"on", true}, {"mode", two ? "overlap" : "signed"}});
  ImGui::End();
  ImGui::PopStyleVar(2);
}

}  // namespace intercusp
