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
#include "casebook/digest.h"

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

std::string contact_words(const Workspace& w) {
  const auto& teeth = w.contacts.teeth();
  if (teeth.empty()) return "No tooth touches.";
  double right = 0, all = 0;
  for (const auto& [tooth, c] : teeth) {
    all += c.area_mm2;
    if ((tooth / 10) % 4 <= 1) right += c.area_mm2;  // quadrants 1 and 4
  }
  std::string words = std::to_string(teeth.size()) + " teeth touch.";
  if (all > 0) {
    const long share = std::lround(100 * right / all);
    words += " Of the contact area " + std::to_string(share) + "% lies on the right, " + std::to_string(100 - share) +
             "% on the left.";
  }
  return words;
}

void relation_line(const Workspace& w, const char* words, const char* right, const char* left) {
  const MeasureRow *r = w.readings.now().row(right), *l = w.readings.now().row(left);
  const auto class_of = [](const MeasureRow* row) {
    return row && row->value && row->value->relation ? "Class " + *row->value->relation : std::string("not measurable");
  };
  say(std::string(words) + ": right " + class_of(r) + ", left " + class_of(l) + ".");
}

bool has_bone(const Workspace& w) {
  return std::any_of(w.now().bodies.begin(), w.now().bodies.end(),
                     [](const Body& b) { return b.name.find("bone") != std::string::npos || b.name == "cranium"; });
}

void save_arch(Workspace& w, const char* body, const char* words) {
  ui::ButtonLook look;
  look.enabled = w.now().find_body(body) != nullptr;
  look.width = -1;
  if (ui::button((std::string("export.") + body).c_str(), words, look)) run(w, "export", {{"body", body}});
}

}  // namespace

void target_step(Workspace& w) {
  say_strong("How the arches meet now");
  say(contact_words(w));
  relation_line(w, "Molars", "molar_right", "molar_left");
  relation_line(w, "Canines", "canine_right", "canine_left");
  not_here(
      "This version does not look for the best fit by itself. Move the lower jaw by hand: contacts, classes and "
      "overlaps follow while it moves.");
  if (ui::button("target.move", "Move the lower jaw", {ui::Weight::primary})) {
    if (run(w, "segment", {{"name", "lower"}})) run(w, "stop", {{"name", "movement"}});
  }
  bool map = w.gap.on;
  if (ui::toggle("contact_map.target", "Colour the gap on the teeth", map, "C")) run(w, "contact_map", {{"on", map}});
}

void cuts_step(Workspace& w) {
  say_strong("What can be cut");
  if (has_bone(w)) {
    for (const Body& b : w.now().bodies)
      if (b.name.find("bone") != std::string::npos || b.name == "cranium") say("Bone: " + landmark_words(b.name) + ".");
  } else {
    say("This case holds the two dental arches and no bone, so there is nothing to cut.");
  }
  not_here(
      "This version does not place cuts. Each jaw moves as one piece with its teeth, which shows the bite after a "
      "movement, but not what happens in the bone.");
  if (ui::button("cuts.move", "Move the jaws", {ui::Weight::primary})) run(w, "stop", {{"name", "movement"}});
}

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
      "This version does not shape splints. It hands out both arches exactly as they stand here, for a program that "
      "does.");
  save_arch(w, "upper_arch", "Save the upper arch as STL");
  save_arch(w, "lower_arch", "Save the lower arch as STL");
}

void agree_step(Workspace& w) {
  const Plan* plan = w.current_plan();
  say_strong(plan ? ("Plan " + w.plan).c_str() : "No plan yet");
  if (plan) {
    say("What two people agree to is the plan's fingerprint: it changes with any movement, landmark or scan.");
    const std::string digest = plan_digest(w.now(), *plan);
    ui::paragraph(fonts().strong, theme().text,
                  (digest.substr(0, 4) + " " + digest.substr(4, 4) + " " + digest.substr(8, 4)).c_str());
    ui::soft_text("The first twelve of 64 signs; read them to each other.");
  } else {
    say("Move a jaw first: a plan is what two people agree to.");
  }
  not_here("This version has no remarks on the model and no signing. Pass the plan on as a link or a file.");
  if (ui::button("agree.share", "Share", {ui::Weight::primary})) run(w, "share_box");
  ImGui::SameLine();
  if (ui::button("agree.save", "Save the case file")) run(w, "save");
}

}  // namespace intercusp
