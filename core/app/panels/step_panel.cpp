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
  ImGui::End();
}

}  // namespace intercusp
