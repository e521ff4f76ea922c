#include "app/panels/panels.h"
#include "app/panels/words.h"
#include "app/scene/note_quantities.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"

namespace intercusp {

namespace {

// What can move, two in a line; an upper jaw that is still joined to the skull says so.
std::vector<std::string> segments_to_choose(const Workspace& w) {
  std::vector<std::string> out = movable_segments(w.planned());
  if (upper_jaw_uncut(w.planned())) out.insert(out.begin(), "upper");
  if (out.empty()) out = {"upper", "lower"};
  return out;
}

void segment_choice(Workspace& w) {
  const auto segments = segments_to_choose(w);
  for (std::size_t i = 0; i < segments.size(); ++i) {
    const bool first = i % 2 == 0, last = i + 1 == segments.size();
    ui::ButtonLook look;
    look.chosen = w.segment == segments[i];
    look.width = first && !last ? 0.5f * (ImGui::GetContentRegionAvail().x - px(8)) : -1;
    const Status may = can_move(w.planned(), segments[i]);
    look.enabled = bool(may);
    const std::string why = may ? "" : may.error().sentence();
    if (!may) look.hint = why.c_str();
    if (ui::button(("segment." + segments[i]).c_str(), segment_words(segments[i]).c_str(), look))
      run(w, "segment", {{"name", segments[i]}});
    if (first && !last) ImGui::SameLine();
  }
  if (!upper_jaw_uncut(w.planned()) || w.pieces.waiting()) return;
  if (ui::link("segment.cut_first", "Lay the Le Fort I cut that frees it")) {
    run(w, "stop", {{"name", "cuts"}});
    if (!w.laid_cuts.find(CutKind::lefort1)) run(w, "cut", {{"kind", "lefort1"}});
  }
}

void pivot_choice(Workspace& w, const EditedMovement& edited) {
  const bool lower = is_lower_name(w.segment);
  const bool is_ramus = w.segment.rfind("ramus", 0) == 0;
  struct Choice {
    const char* words;
    std::string about;
  };
  const Choice choices[] = {{is_ramus ? "Condyle" : "Incisors", ""},
                            {"Right molar", lower ? "46.mesiobuccal_cusp" : "16.mesiobuccal_cusp"},
                            {"Left molar", lower ? "36.mesiobuccal_cusp" : "26.mesiobuccal_cusp"}};
  ui::soft_text("Turns about");
  ui::ButtonLook look;
  look.weight = ui::Weight::quiet;
  bool one_of_these = false;
  for (int i = 0; i < 3; ++i) {
    look.chosen = edited.about == choices[i].about;
    look.enabled = choices[i].about.empty() || w.now().landmarks.count(choices[i].about);
    one_of_these |= look.chosen;
    if (i > 0) ImGui::SameLine(0, px(2));
    if (ui::button(("pivot." + std::to_string(i)).c_str(), choices[i].words, look))
      run(w, "pivot", {{"segment", w.segment}, {"about", choices[i].about}});
  }
  look.enabled = true;
  look.chosen = !one_of_these || w.tool == Tool::choose_pivot;
  look.hint = "Click a landmark on the jaw";
  const std::string other = w.tool == Tool::choose_pivot ? "Click a landmark on the jaw"
                            : one_of_these               ? "Another landmark"
                                                         : landmark_words(edited.about);
  if (ui::button("pivot.other", other.c_str(), look)) run(w, "pick_pivot");
}

void actions(Workspace& w) {
  ui::ButtonLook look;
  look.hint = "Hold the plan against the start";
  look.chosen = w.show_start;
  if (ui::button("compare", w.show_start ? "Back to the plan" : "Show the start", look)) run(w, "compare");
  ImGui::SameLine();
  look = {};
  look.hint = "Puts this jaw back to where it started; undo brings the movement back";
  if (ui::button("reset", "Reset", look)) run(w, "reset", {{"segment", w.segment}});
}

void history(Workspace& w) {
  const auto steps = w.document.history();
  if (steps.empty() || ImGui::GetContentRegionAvail().y < px(64)) return;  // no scrolling for it
  ui::gap_above(10);
  ui::soft_text("History, latest first");
  const std::size_t shown = std::min<std::size_t>(steps.size(), 3);
  for (std::size_t i = 0; i < shown; ++i)
    ui::paragraph(fonts().small, theme().text, steps[steps.size() - 1 - i].c_str());
}

}  // namespace

void movement_step(Workspace& w) {
  segment_choice(w);
  if (w.pieces.waiting() || !w.pieces.trouble().empty()) {
    ui::paragraph(fonts().body, w.pieces.waiting() ? theme().soft : theme().overlap_text,
                  w.pieces.waiting() ? "The bone is being sawn; the plan's movements show when it is in pieces."
                                     : w.pieces.trouble().c_str());
  }
  const auto edited = edited_movement(w.planned(), w.plan, w.segment);
  ui::gap_above(8);
  if (!edited) {
    ui::paragraph(fonts().body, theme().text, edited.error().sentence().c_str());
    return;
  }
  if (segment_has_note(w.segment)) {
    movement_note(w);
    ui::gap_above(6);
  }
  movement_numbers(w);
  ui::gap_above(4);
  pivot_choice(w, edited.value());
  ui::gap_above(6);
  actions(w);
  history(w);
}

}  // namespace intercusp
