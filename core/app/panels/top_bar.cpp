#include "app/panels/panels.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

void plan_tabs(Workspace& w) {
  ui::ButtonLook look;
  look.weight = ui::Weight::quiet;
  for (const Plan& p : std::vector<Plan>(w.now().plans)) {
    look.chosen = p.name == w.plan && !w.show_start;
    if (ui::button(("plan." + p.name).c_str(), ("Plan " + p.name).c_str(), look))
      run(w, "choose_plan", {{"name", p.name}});
    ImGui::SameLine(0, px(2));
  }
  look.chosen = false;
  if (touch_input() && !w.now().plans.empty()) look.width = target_height();
  look.hint = "Another plan for the same case, from the start";
  if (ui::button("plan.new", w.now().plans.empty() ? "Plan +" : "+", look)) run(w, "new_plan");
}

float button_width(const char* label) {
  return ui::text_width(fonts().body, label) + px(16);
}

// Buttons that end at the right edge of the bar.
void right_side(Workspace& w, const Rect& r, bool dark) {
  const char* next = w.theme_choice == "system"  ? "Theme: system"
                     : w.theme_choice == "light" ? "Theme: light"
                                                 : "Theme: dark";
  const bool wide = r.w > px(1080);
  const float share = ui::text_width(fonts().strong, "Share") + px(24);
  const bool keyboard = !touch_input();
  const float total = (wide ? button_width(next) + px(8) : 0) + button_width("Save") + px(8) +
                      (keyboard ? button_width("Keys ?") + px(8) : 0) + share;
  ImGui::SameLine();
  ImGui::SetCursorPosX(r.w - px(16) - total);
  ui::ButtonLook quiet;
  quiet.weight = ui::Weight::quiet;
  if (wide) {
    quiet.hint = "Light, dark, or as the system has it";
    if (ui::button("theme", next, quiet)) {
      const std::string turned = w.theme_choice == "system"  ? (dark ? "light" : "dark")
                                 : w.theme_choice == "light" ? "dark"
                                                             : "light";
      run(w, "theme", {{"name", turned}});
    }
    ImGui::SameLine(0, px(8));
  }
  if (keyboard) {
    quiet.hint = "What the keys do";
    if (ui::button("keys", "Keys ?", quiet)) run(w, "keys");
    ImGui::SameLine(0, px(8));
  }
  quiet.hint = "The whole case as one file (Ctrl+S)";
  quiet.enabled = w.has_case;
  if (ui::button("save", "Save", quiet)) run(w, "save");
  ImGui::SameLine(0, px(8));
  ui::ButtonLook primary;
  primary.weight = ui::Weight::primary;
  primary.enabled = w.has_case;
  if (ui::button("share", "Share", primary)) run(w, "share_box");
}

}  // namespace

void top_bar(Workspace& w, const Rect& r) {
  begin_panel("top", r);
  ImGui::SetCursorPosY(std::floor(0.5f * (r.h - target_height())));
  ui::ButtonLook quiet;
  quiet.weight = ui::Weight::quiet;
  quiet.hint = "Open another case, a sample, or files";
  if (ui::button("home", "Intercusp", quiet)) run(w, "home");
  ImGui::SameLine(0, px(8));
  if (w.has_case) {
    quiet.hint = "Rename the case; use no names of people";
    if (ui::button("case", w.now().id.c_str(), quiet)) run(w, "rename_box");
    ImGui::SameLine(0, px(24));
    plan_tabs(w);
    ImGui::SameLine(0, px(24));
    quiet.hint = "Ctrl+Z";
    quiet.enabled = w.document.can_undo();
    if (ui::button("undo", "Undo", quiet)) run(w, "undo");
    ImGui::SameLine(0, px(2));
    quiet.hint = "Ctrl+Shift+Z";
    quiet.enabled = w.document.can_redo();
    if (ui::button("redo", "Redo", quiet)) run(w, "redo");
    ImGui::SameLine(0, px(2));
    quiet.hint = "Every step so far";
    quiet.enabled = true;
    if (ui::button("history", "History", quiet)) run(w, "history");
  }
  right_side(w, r, theme().dark);
  ImGui::GetWindowDrawList()->AddLine({r.x, r.y + r.h - 1}, {r.x + r.w, r.y + r.h - 1}, theme().line);
  ImGui::End();
}

}  // namespace intercusp
