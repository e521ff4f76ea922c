// What the place the program runs in keeps, and how to be rid of it.
#include "app/panels/panels.h"
#include "app/panels/popover.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

void kept_box(Workspace& w, const Screen& s) {
  if (w.popover != Popover::kept) {
    w.sure_to_erase = false;
    return;
  }
  begin_popover(w, "kept_box", in_the_middle(s, 460, touch_input() ? 430 : 390), "What is kept here");
  ui::paragraph(fonts().body, theme().text, "This browser keeps, on this machine alone:");
  for (const char* kept : {"the cases worked on last, so that a reload loses nothing",
                           "of shared cases a sealed copy, what opens it, and your name, role and key",
                           "your answers in practice; of a teacher's sets their codes and what opens the inboxes",
                           "settings such as the colours"})
    ui::soft_text((std::string("\xE2\x80\xA2 ") + kept).c_str());
  ui::gap_above(8);
  ui::paragraph(fonts().body, theme().text,
                "Nothing leaves this machine until you share a case, hand in answers, or make a set with an inbox.");
  ui::gap_above(8);
  ui::soft_text(
      "Erasing takes all of it away, and the case that is open. Files you saved, copies others made and what is on a "
      "server stay: delete a shared case first, under Share.");
  ui::gap_above(10);
  if (ui::button("kept.erase", w.sure_to_erase ? "Really erase everything" : "Erase everything here")) {
    if (w.sure_to_erase) run(w, "erase_kept", {{"sure", true}});
    w.sure_to_erase = true;
  }
  end_popover(w);
}

}  // namespace intercusp
