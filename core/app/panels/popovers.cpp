// What opens over the view: explanation, case name, keys. Esc or a click beside closes them.
#include <imgui_internal.h>
#include <imgui_stdlib.h>

#include <algorithm>

#include "app/panels/panels.h"
#include "app/panels/popover.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/view/key_table.h"
#include "app/widgets/tab_order.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "casebook/privacy.h"

namespace intercusp {

bool begin_popover(Workspace& w, const char* id, const Rect& r, const char* title) {
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, px(10));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(px(20), px(16)));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 1);
  ImGui::SetNextWindowPos({r.x, r.y});
  ImGui::SetNextWindowSize({r.w, r.h});
  // Not from a part of its own that has it.
  const ImGuiWindow* focused = ImGui::GetCurrentContext()->NavWindow;
  if (!focused || focused->RootWindow != ImGui::FindWindowByName(id)) ImGui::SetNextWindowFocus();
  // What a low screen has no room for is scrolled to.
  const bool low = r.h + px(17) > ImGui::GetIO().DisplaySize.y;
  const ImGuiWindowFlags bare =
      low ? ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize : ImGuiWindowFlags_NoDecoration;
  const bool open = ImGui::Begin(id, nullptr, bare | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings);
  ui::keep_tab_here();
  ui::note_rect(id, {r.x, r.y}, {r.x + r.w, r.y + r.h});
  if (ui::title_line(fonts().heading, title, (std::string(id) + ".close").c_str(), "Close", r.w - px(20)))
    run(w, "back");
  return open;
}

void end_popover(Workspace& w) {
  const bool beside =
      ImGui::IsMouseClicked(0) &&
      !ImGui::IsWindowHovered(ImGuiHoveredFlags_AllowWhenBlockedByActiveItem | ImGuiHoveredFlags_ChildWindows) &&
      !ImGui::IsWindowAppearing();
  ImGui::End();
  ImGui::PopStyleVar(3);
  if (beside) w.popover = Popover::none;
}

Rect in_the_middle(const Screen& s, float w, float h) {
  Rect v = s.low ? Rect{s.view.x, 0, s.view.w, s.foot.y + s.foot.h} : s.view;
  // On a tablet held upright what is taller than the view stands over the band below it, too.
  if (s.upright && px(h) > v.h - px(16)) v.h = s.foot.y - v.y;
  const float width = std::min(px(w), s.top.w - px(16)), height = std::min(px(h), v.h - px(16));
  return {std::floor(std::clamp(v.x + 0.5f * (v.w - width), px(8), s.top.w - width - px(8))),
          std::floor(v.y + 0.5f * (v.h - height)), width, height};
}

void name_box(Workspace& w, const Screen& s) {
  if (w.popover != Popover::name_case) return;
  begin_popover(w, "name_box", in_the_middle(s, 440, 210), "Case id");
  ui::soft_text("It stands in the file. Use a number or a word of your own, no name and no date of birth.");
  ui::gap_above(8);
  std::string id = w.now().id;
  ImGui::PushItemWidth(-1);
  if (ImGui::IsWindowAppearing()) ImGui::SetKeyboardFocusHere();
  const bool typed = ImGui::InputText("##case_id", &id);
  ui::note_field("name_box.id");
  if (typed && !id.empty()) run(w, "rename", {{"id", id}});
  ImGui::PopItemWidth();
  if (const auto warning = id_warning(w.now().id)) ui::paragraph(fonts().small, theme().overlap_text, warning->c_str());
  end_popover(w);
}

void keys_help(Workspace& w, const Screen& s) {
  if (w.popover != Popover::keys) return;
  const bool fingers = touch_input();
  begin_popover(w, "keys_help", in_the_middle(s, 480, fingers ? 280 : 600),
                fingers ? "What fingers do" : "Keys and hands");
  ui::gap_above(6);
  for (const KeyRow& row : fingers ? finger_rows() : key_rows()) {
    ui::paragraph(fonts().small_strong, theme().text, row.keys);
    ImGui::SameLine();
    ImGui::SetCursorPosX(px(196));
    ui::paragraph(fonts().small, theme().text, row.words);
  }
  end_popover(w);
}

}  // namespace intercusp
