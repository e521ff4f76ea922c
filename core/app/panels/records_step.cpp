#include <algorithm>
#include <cstdio>

#include "app/panels/panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/surface_notes.h"

namespace intercusp {

namespace {

std::string size_words(const Body& b) {
  char words[120];
  const Vec3 size = b.surface->box().sizes();
  std::snprintf(words, sizeof words, "%zu triangles, %.0f x %.0f x %.0f mm", b.surface->mesh().triangles.size(),
                size.x(), size.y(), size.z());
  return words;
}

void units_question(Workspace& w) {
  if (!w.waiting_scan) return;
  ui::paragraph(fonts().body, theme().overlap_text, w.waiting_scan->guess.sentence.c_str());
  for (const UnitCandidate& c : w.waiting_scan->guess.candidates) {
    char label[80];
    std::snprintf(label, sizeof label, "%s: %.1f mm across", c.unit.c_str(), c.size_mm);
    if (ui::button(("unit." + c.unit).c_str(), label)) {
      run(w, "units", {{"unit", c.unit}});
      return;
    }
  }
}

}  // namespace

void records_step(Workspace& w) {
  if (ui::button("open_files", "Open files", {ui::Weight::primary})) run(w, "ask_for_files");
  ImGui::SameLine();
  if (ui::button("samples", "Samples")) run(w, "home");
  ui::soft_text("STL, PLY or OBJ scans, a case file, or landmarks. You can also drop them anywhere.");
  units_question(w);
  if (!w.has_case) return;
  ui::gap_above(16);
  for (const Body& b : w.now().bodies) {
    if (!b.surface) continue;
    ui::paragraph(fonts().strong, theme().text, capital(body_words(b.name)).c_str());
    ui::soft_text(size_words(b).c_str());
    for (const std::string& finding : findings_of(w, b)) ui::soft_text(finding.c_str());
  }
  ui::gap_above(16);
  landmark_list(w);
}

}  // namespace intercusp
