#include <algorithm>
#include "app/panels/panels.h"

#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

const char* title_of(Stop stop) {
  switch (stop) {
    case Stop::records:
      return "Records";
    case Stop::bite:
      return "The bite";
    case Stop::target:
      return "Target occlusion";
    case Stop::cuts:
      return "Cuts";
    case Stop::movement:
      return "Movement";
    case Stop::clearance:
      return "Clearance";
    case Stop::splint:
      return "Splint";
    case Stop::sheet:
      return "Movement sheet";
    default:
      return "Agreement";
  }
}

// Where more can be scrolled to, the last lines fade out instead of being sliced.
void fade_below(const Rect& r) {
  if (ImGui::GetScrollY() >= ImGui::GetScrollMaxY() - 1) return;
  const ImU32 ground = theme().panel, none = with_alpha(ground, 0);
  const float high = px(36), right = r.x + r.w - px(10), low = r.y + r.h;
  ImDrawList* list = ImGui::GetWindowDrawList();
  list->AddRectFilledMultiColor({r.x, low - high}, {right, low}, none, none, ground, ground);
  const float x = r.x + 0.5f * r.w, y = low - px(8);
  const ImVec2 chevron[] = {{x - px(6), y - px(5)}, {x, y}, {x + px(6), y - px(5)}};
  list->AddPolyline(chevron, 3, theme().soft, 0, px(2));
}

}  // namespace

void step_panel(Workspace& w, const Rect& r, bool) {
  if (r.w <= 0) return;
  begin_panel("step", r, true);
  ImDrawList* list = ImGui::GetWindowDrawList();
  list->AddLine({r.x + r.w - 1, r.y}, {r.x + r.w - 1, r.y + r.h}, theme().line);
  if (ui::title_line(fonts().heading, title_of(w.stop), "fold.left", "Fold", r.w - px(16),
                     "Fold this panel away; any stop below brings it back"))
    run(w, "fold", {{"panel", "left"}, {"open", false}});
  ui::gap_above(6);
  switch (w.stop) {
    case Stop::records:
      records_step(w);
      break;
    case Stop::bite:
      bite_step(w);
      break;
    case Stop::movement:
      movement_step(w);
      break;
    case Stop::clearance:
      clearance_step(w);
      break;
    case Stop::target:
      target_step(w);
      break;
    case Stop::cuts:
      cuts_step(w);
      break;
    case Stop::splint:
      splint_step(w);
      break;
    case Stop::sheet:
      sheet_step(w);
      break;
    default:
      agree_step(w);
      break;
  }
  fade_below(r);
  end_scrolling_panel();
}

}  // namespace intercusp
