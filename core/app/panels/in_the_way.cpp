#include "app/panels/panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/stops.h"

namespace intercusp {

// In one line: what carries the plan out stays in view below it.
void say_what_is_in_the_way(Workspace& w) {
  const StopWord clearance = state_of_stop(w, Stop::clearance);
  if (clearance.state != StopState::attention) return;
  const double deepest = w.contacts.clearance().front().depth_mm;
  const std::string words = clearance.word + " in the way, up to " + amount(deepest, 1) + " mm";
  if (ui::link("in_the_way.look", words.c_str())) run(w, "stop", {{"name", "clearance"}});
}

}  // namespace intercusp
