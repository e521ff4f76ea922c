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

void step_panel(Workspace& w, const Rect& r, bool slides) {
  if (r.w <= 0) return;
  begin_panel("step", r, true);
  ImDrawList* list = ImGui::GetWindowDrawList();
  list->AddLine({r.x + r.w - 1, r.y}, {r.x + r.w - 1, r.y + r.h}, theme().line);
  ui::heading(title_of(w.stop));
  ImGui::SameLine();
  ImGui::SetCursorPosX(r.w - px(slides ? 72 : 60));
  ui::ButtonLook quiet;
  quiet.weight = ui::Weight::quiet;
  quiet.hint = "Fold this panel away; any stop below brings it back";
  if (ui::button("fold.left", "Fold", quiet)) run(w, "fold", {{"panel", "left"}, {"open", false}});
  ui::gap_above(8);
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
    default:
      later_step(w);
      break;
  }
  ImGui::End();
}

void later_step(Workspace& w) {
  static const char* const words[] = {"",
                                      "",
                                      "Finding where the lower arch meets the upper best.",
                                      "Placing the cuts and seeing how far they stay from roots and nerves.",
                                      "",
                                      "",
                                      "Making intermediate and final splints ready to print.",
                                      "One page for theatre: every movement, and what a splint cannot hold.",
                                      "Reviewing one plan together, with remarks pinned to the model."};
  ui::paragraph(fonts().body, theme().text, words[static_cast<int>(w.stop)]);
  ui::gap_above(12);
  ui::paragraph(fonts().body, theme().soft, "This comes with a later version. Nothing here is computed yet.");
}

}  // namespace intercusp
