// The small row of tools on the views and the legend of the contact map.
#include <algorithm>
#include <cmath>

#include "app/panels/panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/view/key_table.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "base/colour_maps.h"

namespace intercusp {

namespace {

struct ViewButton {
  const char* id;
  const char* label;
};

constexpr ViewButton kRecords[] = {{"front", "Front"}, {"right", "Right"}, {"left", "Left"},
                                   {"upper", "Upper"}, {"lower", "Lower"}, {"fit", "Fit"}};
constexpr const char* kLayouts[] = {"one", "two", "four", "record"};

float tight_width(const char* label) {
  return std::max(ui::text_width(fonts().strong, label) + px(10), touch_input() ? target_height() : px(24));
}

// A button of the row; its hint names its key.
bool tight_button(const std::string& id, const char* label, bool chosen) {
  const std::string hint = key_hint(id);
  ui::ButtonLook look;
  look.weight = ui::Weight::quiet;
  look.hint = hint.c_str();
  look.chosen = chosen;
  look.width = tight_width(label);
  return ui::button(id.c_str(), label, look);
}

void records(Workspace& w) {
  for (const ViewButton& t : kRecords) {
    const bool chosen = w.views[w.active_view].record == t.id;
    if (tight_button(std::string("view.") + t.id, t.label, chosen)) run(w, "view", {{"name", t.id}});
    ImGui::SameLine(0, 0);
  }
}

float layout_width() {
  return touch_input() ? target_height() : px(28);
}

/// The views as they will stand, small.
void draw_layout(ImDrawList* list, const std::string& layout, ImVec2 from, ImVec2 to, ImU32 ink) {
  const float w = px(18), h = px(13), x = std::floor(0.5f * (from.x + to.x - w)),
              y = std::floor(0.5f * (from.y + to.y - h));
  const float line = std::max(1.0f, std::floor(px(1.25f)));
  const auto across = [&](float share, float top, float foot) {
    list->AddRectFilled({x + share * w - 0.5f * line, y + top * h}, {x + share * w + 0.5f * line, y + foot * h}, ink);
  };
  list->AddRect({x, y}, {x + w, y + h}, ink, px(2), 0, line);
  if (layout == "two") across(0.5f, 0, 1);
  if (layout == "four" || layout == "record") {
    list->AddRectFilled({x, y + 0.5f * (h - line)}, {x + w, y + 0.5f * (h + line)}, ink);
    across(0.5f, layout == "four" ? 0 : 0.5f, 1);
  }
  if (layout == "record")
    for (const float third : {1 / 3.0f, 2 / 3.0f}) across(third, 0, 0.5f);
}

void layouts(Workspace& w) {
  for (const char* layout : kLayouts) {
    const std::string id = std::string("layout.") + layout, hint = key_hint(id);
    ui::ButtonLook look;
    look.weight = ui::Weight::quiet;
    look.hint = hint.c_str();
    look.chosen = w.layout == layout;
    look.width = layout_width();
    const bool clicked = ui::button(id.c_str(), "", look);
    draw_layout(ImGui::GetWindowDrawList(), layout, ImGui::GetItemRectMin(), ImGui::GetItemRectMax(),
                look.chosen ? theme().accent : theme().text);
    if (clicked) run(w, "layout", {{"name", layout}});
    ImGui::SameLine(0, 0);
  }
}

/// The last `count` of the four, the ruler before all others.
void switches(Workspace& w, std::size_t count = 4) {
  if (count > 2) {
    if (tight_button("tool.section", "Section", w.section.on)) run(w, "section");
    ImGui::SameLine(0, 0);
  }
  if (count > 3) {
    if (tight_button("tool.ruler", "Ruler", w.tool == Tool::rule)) run(w, "ruler");
    ImGui::SameLine(0, 0);
  }
  if (count > 1) {
    if (tight_button("tool.contacts", "Contacts", w.gap.on)) run(w, "contact_map");
    ImGui::SameLine(0, 0);
  }
  if (count > 0 && tight_button("tool.show", "Show", false)) run(w, "show_box");
}

constexpr float kGroupGap = 10;

float records_width() {
  float sum = 0;
  for (const ViewButton& t : kRecords) sum += tight_width(t.label);
  return sum;
}

float rest_width() {
  float sum = px(kGroupGap) + 4 * layout_width();
  for (const char* label : {"Section", "Ruler", "Contacts", "Show"}) sum += tight_width(label);
  return sum;
}

/// On a phone held sideways a second line would cover the model: what fits stands behind the records.
bool has_second_line() {
  return !low_screen(ImGui::GetIO().DisplaySize.x, ImGui::GetIO().DisplaySize.y);
}

/// How many of the switches fit there, and their width.
std::pair<std::size_t, float> switches_that_fit(float view_width) {
  const float room = view_width - records_width() - px(kGroupGap + 8 + 16);
  std::pair<std::size_t, float> fit{0, 0};
  for (const char* label : {"Show", "Contacts", "Section"}) {
    if (fit.second + tight_width(label) > room) break;
    fit = {fit.first + 1, fit.second + tight_width(label)};
  }
  return fit;
}

bool in_one_line(float room) {
  return records_width() + px(kGroupGap) + rest_width() + px(8 + 16) <= room;
}

}  // namespace

float tool_strip_height(float room) {
  return (in_one_line(room) || !has_second_line() ? 1 : 2) * target_height() + px(16);
}

void view_tools(Workspace& w, const Rect& view) {
  const bool one_line = in_one_line(view.w), low = !one_line && !has_second_line();
  const auto fitting = switches_that_fit(view.w);
  const float gap = px(kGroupGap);
  const float behind = one_line ? gap + rest_width() : low && fitting.first > 0 ? gap + fitting.second : 0;
  const float width = px(8) + std::max(records_width() + behind, one_line || low ? 0 : rest_width());
  const Rect r{view.x + px(8), view.y + px(4), std::min(view.w - px(16), width), tool_strip_height(view.w) - px(8)};
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(0, 0));
  begin_over_view("view_tools", r, ImVec2(px(4), px(4)));
  records(w);
  if (one_line || low)
    ImGui::SameLine(0, gap);
  else
    ImGui::NewLine();
  if (!low) {
    layouts(w);
    ImGui::SameLine(0, gap);
  }
  switches(w, low ? fitting.first : 4);
  end_over_view();
  ImGui::PopStyleVar();
}

void side_buttons(Workspace& w, const Rect& view) {
  const float width = std::min(view.w - px(16), px(8) + records_width());
  const Rect r{view.x + px(8), view.y + px(4), width, target_height() + px(8)};
  ImGui::PushStyleVar(ImGuiStyleVar_ItemSpacing, ImVec2(0, 0));
  begin_over_view("view_tools", r, ImVec2(px(4), px(4)));
  records(w);
  end_over_view();
  ImGui::PopStyleVar();
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
  begin_over_view("legend", r, ImVec2(px(16), px(8)));
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
  end_over_view();
}

}  // namespace intercusp
