// Stops whose own function this version does not have: what the case holds for them, what is missing, and what can be
// done by hand meanwhile.
#include <algorithm>

#include "app/panels/number_words.h"
#include "app/panels/panels.h"
#include "app/panels/plan_words.h"
#include "app/panels/words.h"
#include "app/scene/note_quantities.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

void say(const std::string& words) {
  ui::paragraph(fonts().body, theme().text, words.c_str());
}

void say_strong(const char* words) {
  ui::gap_above(10);
  ui::paragraph(fonts().strong, theme().text, words);
}

void not_here(const char* words) {
  ui::gap_above(12);
  ui::soft_text(words);
  ui::gap_above(10);
}

void save_arch(Workspace& w, const char* body, const char* words) {
  ui::ButtonLook look;
  look.enabled = w.now().find_body(body) != nullptr;
  look.width = -1;
  if (ui::button((std::string("export.") + body).c_str(), words, look)) run(w, "export", {{"body", body}});
}

}  // namespace

void splint_step(Workspace& w) {
  say_strong("The position to hold");
  const Plan* plan = w.current_plan();
  if (!plan || plan->entries.empty())
    say("No jaw has been moved yet: the arches stand as they were scanned.");
  else
    for (const std::string& line : plan_words(w)) say(line);
  double nearest = 1e9;
  for (const ContactPair& p : w.contacts.pairs()) nearest = std::min(nearest, p.result.minimum_distance_mm);
  if (nearest < 1e6) say("Least distance between the arches: " + amount(nearest, 2) + " mm.");
  not_here(
      "The splint itself is not made in this window yet. Save the case, and the program in the clinic makes it: "
      "intercusp splint CASE (docs/splints.md). Here both arches are handed out exactly as they stand.");
  save_arch(w, "upper_arch", "Save the upper arch as STL");
  save_arch(w, "lower_arch", "Save the lower arch as STL");
}

}  // namespace intercusp
