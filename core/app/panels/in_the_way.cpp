#include "app/panels/panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/stops.h"

namespace intercusp {

void say_what_is_in_the_way(Workspace& w) {
  const StopWord clearance = state_of_stop(w, Stop::clearance);
  if (clearance.state != StopState::attention) return;
  const ClearanceRow& worst = w.contacts.clearance().front();
  ui::gap_above(8);
  ui::paragraph(fonts().body, theme().overlap_text,
                ("In the way as planned: " + clearance.word + ", the deepest " + worst.site + " by " +
                 amount(worst.depth_mm, 1) + " mm.")
                    .c_str());
  if (ui::link("in_the_way.look", "See what is in the way")) run(w, "stop", {{"name", "clearance"}});
}

}  // namespace intercusp
