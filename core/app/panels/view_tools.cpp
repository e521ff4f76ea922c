// The small row of tools on the views and the legend of the contact map.
#include <algorithm>
#include <cmath>

#include "app/panels/panels.h"
#include "app/panels/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "base/colour_maps.h"

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

float tight_width(const char* label) {
  return std::max(ui::text_width(fonts().strong, label) + px(12), touch_input() ? target_height() : px(24));
}

ui::ButtonLook tight(const char* label, const char* hint, bool chosen) {
  ui::ButtonLook look;
  look.weight = ui::Weight::quiet;
  look.hint = hint;
  look.chosen = chosen;
  look.width = tight_width(label);
  return look;
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
  if (ui::button("tool.section", "Section", tight("Section", "S, cut through the jaws", w.section.on)))
    run(w, "section");
  ImGui::SameLine(0, 0);
  if (ui::button("tool.contacts", "Contacts", tight("Contacts", "C, colour the gap between the jaws", w.gap.on)))
    run(w, "contact_map");
  ImGui::SameLine(0, 0);
  if (ui::button("tool.show", "Show", tight("Show", "Jaws, outline of the start, tooth numbers, pictures", false)))
    run(w, "show_box");
}

constexpr float kGroupGap = 10;

float records_width() {
  float sum = 0;
  for (const ViewButton& t : kRecords) sum += tight_width(t.label);
  return sum;
}

float rest_width() {
  float sum = px(kGroupGap);
  for (const ViewButton& t : kLayouts) sum += tight_width(t.label);
  for (const char* label : {"Section", "Contacts", "Show"}) sum += tight_width(label);
  return sum;
}

bool in_one_line(float room) {
  return records_width() + px(kGroupGap) + rest_width() + px(8 + 16) <= room;
}

}  // namespace

float tool_strip_height(float room) {
  return (in_one_line(room) ? 1 : 2) * target_height() + px(16);
}

void view_tools(Workspace& w, const Rect& view) {
  const bool one_line = in_one_line(view.w);
  const float width =
      px(8) + (one_line ? records_width() + px(kGroupGap) + rest_width() : std::max(records_width(), rest_width()));
  const Rect r{view.x + px(8), view.y + px(4), std::min(view.w - px(16), width), tool_strip_height(view.w) - px(8)};
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(px(4), px(4)));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, px(8));
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(0, 0));
  ImGui::SetNextWindowBgAlpha(0.94f);
  begin_panel("view_tools", r);
  records(w);
  one_line ? ImGui::SameLine(0, px(kGroupGap)) : ImGui::NewLine();
  layouts(w);
  ImGui::SameLine(0, px(kGroupGap));
  switches(w);
  ImGui::End();
  ImGui::PopStyleVar(3);
}

namespace {

constexpr float kLegendWidth = 252, kLegendBar = 220;

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

// A grip at each end that can be dragged: the distance at which the colours end.
void legend_grips(Workspace& w, ImDrawList* list, ImVec2 at, float bar_w, float bar_h, bool two) {
  ImGui::SetCursorScreenPos({at.x - px(10), std::floor(at.y + 0.5f * (bar_h - std::max(target_height(), px(28))))});
  const ui::AreaState s = ui::area("legend.limit", {bar_w + px(20), std::max(target_height(), px(28))});
  if (s.hovered || s.held) ImGui::SetMouseCursor(ImGuiMouseCursor_ResizeEW);
  const auto grip = [&](float x) {
    const ImU32 c = s.held ? theme().accent : theme().text;
    list->AddRectFilled({x - px(3), at.y - px(4)}, {x + px(3), at.y + bar_h + px(4)}, theme().panel, px(3));
    list->AddRectFilled({x - px(2), at.y - px(3)}, {x + px(2), at.y + bar_h + px(3)}, c, px(2));
  };
  if (two) grip(at.x);
  grip(at.x + bar_w);
  if (s.hovered && !s.held) ui::hint_tip("Drag: the distance at which the colours end");
  if (!s.held) return;
  const float dx = ImGui::GetIO().MouseDelta.x;
  const bool right = ImGui::GetIO().MousePos.x > at.x + 0.5f * bar_w;
  if (dx != 0)
    run(w, "contact_map", {{"on", true}, {"limit_mm", w.gap.limit_mm * std::pow(1.01, (right ? dx : -dx) / px(1))}});
}

// Numbers under the bar: ends, middle and quarters.
void legend_numbers(const GapView& gap, ImDrawList* list, ImVec2 at, float bar_w, float y, bool two) {
  const int marks = two ? 4 : 2;
  for (int i = 0; i <= marks; ++i) {
    const float share = static_cast<float>(i) / static_cast<float>(marks), x = at.x + share * bar_w;
    const double mm = two ? gap.limit_mm * (1 - 2.0 * share) : gap.limit_mm * share;
    list->AddLine({x, y - px(3)}, {x, y}, theme().soft, std::max(1.0f, px(1)));
    const bool end = i == marks;
    ui::put_text(list, fonts().tiny, x, y + px(1), theme().text, amount(mm, 2), i == 0 ? 0.0f : end ? 1.0f : 0.5f);
  }
}

}  // namespace

void gap_legend(Workspace& w, const Rect& view) {
  if (!w.gap.on) return;
  const bool two = w.gap.mode == GapMode::signed_gap;
  const float foot = touch_input() ? target_height() : px(22);
  const Rect r{view.x + px(12), view.y + view.h - px(40) - px(76) - foot, px(kLegendWidth), px(76) + foot};
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(px(16), px(8)));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, px(8));
  ImGui::SetNextWindowBgAlpha(0.94f);
  begin_panel("legend", r);
  ImDrawList* list = ImGui::GetWindowDrawList();
  const ImVec2 at{r.x + px(16), r.y + px(28)};
  const float bw = px(kLegendBar), bh = px(12);
  if (two) ui::put_text(list, fonts().small, at.x, r.y + px(5), theme().gap_text, "gap, mm");
  ui::put_text(list, fonts().small, at.x + bw, r.y + px(5), theme().overlap_text, "overlap, mm", 1);
  legend_bar(w.gap, list, at, bw, bh);
  ui::hatch(list, {at.x + (two ? 0.5f * bw : 0), at.y + bh}, {at.x + bw, at.y + bh + px(4)}, theme().overlap_text,
            px(4));
  legend_numbers(w.gap, list, at, bw, at.y + bh + px(8), two);
  legend_grips(w, list, at, bw, bh, two);
  ImGui::SetCursorScreenPos({at.x, r.y + px(70)});
  if (ui::link("legend.mode", two ? "Show only the overlap" : "Show gap and overlap"))
    run(w, "contact_map", {{"on", true}, {"mode", two ? "overlap" : "signed"}});
  ImGui::End();
  ImGui::PopStyleVar(2);
}

}  // namespace intercusp
