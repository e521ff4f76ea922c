// The teacher's page: a bar above, then the set or the results, in place of everything else.
#include <algorithm>

#include "app/panels/class_panel.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/class_work.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

const char* const kHonest =
    "Generated jaws, no patient. Whoever knows the program well can work the answers out of a set that is not graded: "
    "it "
    "is no examination.";

void class_tab(Workspace& w, const char* id, const char* label, const char* page, bool chosen) {
  ui::ButtonLook look;
  look.chosen = chosen;
  if (ui::button(id, label, look)) run(w, "class_page", {{"page", page}});
}

void class_bar(Workspace& w, const Rect& r) {
  begin_panel("class_bar", r);
  ImDrawList* list = ImGui::GetWindowDrawList();
  list->AddLine({r.x, r.y + r.h - 1}, {r.x + r.w, r.y + r.h - 1}, theme().line);
  const float line = r.y + 0.5f * (r.h - target_height());
  float at = r.x + px(16);
  at += ui::put_text(list, fonts().strong, at, r.y + 0.5f * (r.h - fonts().strong->FontSize), theme().text,
                     "For a class");
  ImGui::SetCursorScreenPos({at + px(24), line});
  const bool makes = w.class_work->page == ClassPage::make;
  class_tab(w, "class.tab.make", "Make a set", "make", makes);
  ImGui::SameLine(0, px(4));
  class_tab(w, "class.tab.results", "Results", "results", !makes);
  ui::ButtonLook look;
  look.width = ui::text_width(fonts().body, "Leave") + px(24);
  ImGui::SetCursorScreenPos({r.x + r.w - px(16) - look.width, line});
  if (ui::button("class.leave", "Leave", look)) run(w, "class_leave");
  ImGui::End();
}

void class_foot(const Rect& r) {
  begin_panel("class_foot", r);
  ImGui::GetWindowDrawList()->AddLine({r.x, r.y}, {r.x + r.w, r.y}, theme().line);
  ui::put_lines(ImGui::GetWindowDrawList(), fonts().small, r.x + px(16), r.y + px(8), r.w - px(32), theme().soft,
                kHonest);
  ImGui::End();
}

using ClassPart = void (*)(Workspace&);

/// Two parts beside each other, or in one column where there is no room for that.
void class_parts(Workspace& w, const Rect& r, float left, bool one_column, ClassPart first, ClassPart second) {
  if (one_column) {
    begin_panel("class_all", r, true);
    first(w);
    ui::gap_above(20);
    if (w.class_open) second(w);
    end_scrolling_panel();
    return;
  }
  begin_panel("class_left", {r.x, r.y, left, r.h}, true);
  ImGui::GetWindowDrawList()->AddLine({r.x + left - 1, r.y}, {r.x + left - 1, r.y + r.h}, theme().line);
  first(w);
  end_scrolling_panel();
  begin_panel("class_right", {r.x + left, r.y, r.w - left, r.h}, true);
  if (w.class_open) second(w);
  end_scrolling_panel();
}

}  // namespace

void class_label(const char* words) {
  ui::gap_above(10);
  ui::paragraph(fonts().small_strong, theme().text, words);
}

void stay_in_line_for(float width) {
  const float end = ImGui::GetWindowPos().x + ImGui::GetWindowContentRegionMax().x;
  if (ImGui::GetItemRectMax().x + px(4) + width <= end) ImGui::SameLine(0, px(4));
}

void class_page(Workspace& w, const Screen& s) {
  const float width = s.top.w, whole = s.foot.y + s.foot.h;
  const float honest = ui::lines_height(fonts().small, kHonest, width - px(32)) + px(16);
  class_bar(w, s.top);
  // Leaving inside the bar ends the page.
  if (!w.class_open) return;
  class_foot({0, whole - honest, width, honest});
  const Rect middle{0, s.top.h, width, whole - honest - s.top.h};
  const bool makes = w.class_work->page == ClassPage::make, one_column = width < px(1000);
  const float left = makes ? std::min(px(680), 0.55f * width) : px(380);
  class_parts(w, middle, left, one_column, makes ? class_set_form : class_results_in,
              makes ? class_made_set : class_results_out);
  const bool escape = ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Escape));
  if (escape && !ImGui::GetIO().WantTextInput && !ImGui::IsAnyItemActive()) run(w, "back");
}

}  // namespace intercusp
