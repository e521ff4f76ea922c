#include "app/view/plate_overlay.h"

#include "app/scene/words.h"
#include "app/theme.h"
#include "app/view/screen_place.h"
#include "app/work/feasibility.h"

namespace intercusp {

namespace {

// From where it goes in to its tip, with a head; its bone's thickness beside it.
void draw_screw(const View& v, ImDrawList* list, Labels& labels, const ScrewPath& screw, const std::string& which) {
  const Theme& t = theme();
  const ImVec2 in = screen_place(v, screw.entry), tip = screen_place(v, screw.tip);
  list->AddLine(in, tip, t.panel, px(6));
  list->AddLine(in, tip, t.text, px(2.5f));
  list->AddCircleFilled(in, px(6), t.panel, 20);
  list->AddCircleFilled(in, px(4.5f), t.text, 20);
  list->AddCircleFilled(tip, px(2.5f), t.text, 12);
  std::string words = capital(which) + ": bone " + amount(screw.thickness_mm, 1) + " mm";
  if (screw.tip_to_root_mm) words += ", root " + amount(*screw.tip_to_root_mm, 1) + " mm from the tip";
  labels.add(in, words, t.text);
}

}  // namespace

Vec3 plate_middle(const PlateGap& gap) {
  if (gap.reference_screw && gap.other_screw) return 0.5 * (gap.reference_screw->entry + gap.other_screw->entry);
  if (gap.reference_screw) return gap.reference_screw->entry;
  return gap.site.anchor;
}

void draw_chosen_plate(const Workspace& w, std::size_t index, ImDrawList* list, Labels& labels) {
  const bool known = w.stop == Stop::clearance && w.clearance_page == ClearancePage::plates &&
                     w.moment() != Moment::rest && w.plates.of(w.readings.version());
  if (!known || w.chosen_plate < 0 || w.chosen_plate >= static_cast<int>(w.plates.found().size())) return;
  const PlateGap& gap = w.plates.found()[static_cast<std::size_t>(w.chosen_plate)];
  const View& v = w.views[index];
  const Theme& t = theme();
  const ImU32 colour = plate_fits(gap) ? t.accent : t.overlap_text;
  if (gap.reference_screw && gap.other_screw) {
    const ImVec2 a = screen_place(v, gap.reference_screw->entry), b = screen_place(v, gap.other_screw->entry);
    list->AddLine(a, b, t.panel, px(12));
    list->AddLine(a, b, colour, px(8));
  }
  const std::string step = plate_step_words(gap);
  labels.add(screen_place(v, plate_middle(gap)), plate_gap_words(gap) + (step.empty() ? "" : ", " + step), colour,
             true);
  if (gap.reference_screw) draw_screw(v, list, labels, *gap.reference_screw, screw_side(gap, true));
  if (gap.other_screw) draw_screw(v, list, labels, *gap.other_screw, screw_side(gap, false));
}

}  // namespace intercusp
