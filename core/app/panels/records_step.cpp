#include <algorithm>
#include <cstdio>

#include "app/panels/panels.h"
#include "app/scene/words.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/surface_notes.h"
#include "app/work/surfaces.h"
#include "casebook/surface_role.h"

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

/// What the surface may be instead; whether the case was changed.
bool role_choices(Workspace& w, const std::string& body) {
  ui::soft_text("What is it?");
  for (const std::string& role : surface_roles()) {
    if (role == body) continue;
    if (!ui::button(("role." + body + "." + role).c_str(), capital(body_words(role)).c_str())) continue;
    run(w, "surface_role", {{"body", body}, {"role", role}});
    return true;
  }
  return false;
}

/// One surface: what it is, its size, what was found on it; whether the case was changed.
bool surface_rows(Workspace& w, const Body& b) {
  const std::string words = capital(body_words(b.name));
  if (w.now().recipe.empty()) {
    const float right = ImGui::GetCursorPosX() + ImGui::GetContentRegionAvail().x;
    const bool asked = w.role_asked == b.name;
    const char* label = asked ? "Keep" : "Change";
    if (ui::title_line(fonts().strong, words.c_str(), ("role." + b.name).c_str(), label, right))
      w.role_asked = asked ? "" : b.name;
    if (w.role_asked == b.name && role_choices(w, b.name)) return true;
  } else {
    ui::paragraph(fonts().strong, theme().text, words.c_str());
  }
  ui::soft_text(size_words(b).c_str());
  for (const std::string& finding : findings_of(w, b)) ui::soft_text(finding.c_str());
  return false;
}

void laying_rows(Workspace& w) {
  if (!can_lay_on_bone(w)) return;
  ui::gap_above(10);
  const bool lies = lies_on_bone(w);
  ui::ButtonLook look;
  // Scans that stand askew need points of teeth first: the clicks are the next thing then.
  look.weight = lies || !w.now().frame_known ? ui::Weight::plain : ui::Weight::primary;
  look.hint =
      "The upper scan is laid on the teeth of the upper jaw bone; the lower scan and the landmarks of teeth go along";
  if (ui::button("lay_on_bone", lies ? "Lay them on the bone again" : "Lay the scans on the bone", look))
    run(w, "lay_on_bone");
  if (!lies) return;
  for (const std::string& words : w.laying.words) ui::soft_text(words.c_str());
}

}  // namespace

void records_step(Workspace& w) {
  if (ui::button("open_files", "Open files", {ui::Weight::primary})) run(w, "ask_for_files");
  ImGui::SameLine();
  if (ui::button("samples", "Samples")) run(w, "home");
  ui::soft_text((std::string("STL, PLY or OBJ of arches, jaw bones and roots, a case file, or landmarks.") +
                 (touch_input() ? "" : " You can also drop them anywhere."))
                    .c_str());
  units_question(w);
  if (!w.has_case) return;
  ui::gap_above(10);
  tooth_clicks(w);  // what the first reading needs is asked for before what is there is listed
  if (w.tool == Tool::click_teeth) return;
  wanted_landmark(w);
  laying_rows(w);
  ui::gap_above(16);
  for (const Body& b : w.now().bodies)
    if (b.surface && surface_rows(w, b)) break;
  face_form(w);
  ui::gap_above(16);
  landmark_list(w);
}

}  // namespace intercusp
