#include "app/panels/panels.h"
#include "app/scene/note_quantities.h"
#include "app/scene/words.h"
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

// One of two words in a line of small type.
bool small_choice(const std::string& id, const char* words, bool chosen, const char* hint) {
  const Theme& t = theme();
  ImFont* font = chosen ? fonts().small_strong : fonts().small;
  const float h = touch_input() ? target_height() : px(22);
  const float width = std::max(ui::text_width(font, words) + px(12), touch_input() ? target_height() : 0);
  const ui::AreaState s = ui::area(id.c_str(), {width, h});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  if (chosen || s.hovered) list->AddRectFilled(from, to, chosen ? t.accent_ground : t.hover, px(4));
  const float y = std::floor(0.5f * (from.y + to.y - font->FontSize));
  ui::put_text(list, font, 0.5f * (from.x + to.x), y, chosen ? t.accent : t.text, words, 0.5f);
  if (s.hovered && *hint) ui::hint_tip(hint);
  return s.clicked;
}

// The title before a line of small choices; they follow on the same line.
void small_title(const char* words) {
  const float h = touch_input() ? target_height() : px(22);
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float y = std::floor(at.y + 0.5f * (h - fonts().small->FontSize));
  const float width = ui::put_text(ImGui::GetWindowDrawList(), fonts().small, at.x, y, theme().soft, words);
  ImGui::SetCursorScreenPos({at.x + width + px(8), at.y});
}

void pivot_choice(Workspace& w, const EditedMovement& edited) {
  const bool lower = is_lower_name(w.segment);
  const bool is_ramus = w.segment.rfind("ramus", 0) == 0;
  struct Choice {
    const char* words;
    std::string about;
  };
  const Choice choices[] = {{is_ramus ? "Condyle" : "Incisors", ""},
                            {lower ? "46" : "16", lower ? "46.mesiobuccal_cusp" : "16.mesiobuccal_cusp"},
                            {lower ? "36" : "26", lower ? "36.mesiobuccal_cusp" : "26.mesiobuccal_cusp"}};
  small_title("Turns about");
  bool one_of_these = false;
  for (int i = 0; i < 3; ++i) {
    const Choice& c = choices[i];
    if (!c.about.empty() && w.now().landmarks.count(c.about) == 0) continue;
    one_of_these |= edited.about == c.about;
    const char* hint = i == 1 ? "The right first molar" : i == 2 ? "The left first molar" : "";
    if (small_choice("pivot." + std::to_string(i), c.words, edited.about == c.about, hint))
      run(w, "pivot", {{"segment", w.segment}, {"about", c.about}});
    ImGui::SameLine(0, px(2));
  }
  const bool choosing = w.tool == Tool::choose_pivot;
  const std::string other = choosing ? "Click one on the jaw" : one_of_these ? "Other" : landmark_words(edited.about);
  if (ui::text_width(fonts().small_strong, other) + px(12) > ImGui::GetContentRegionAvail().x) ImGui::NewLine();
  if (small_choice("pivot.other", other.c_str(), !one_of_these || choosing, "Click a landmark on the jaw"))
    run(w, "pick_pivot");
}

// Which jaw is moved first in theatre, and what then stands in between.
void staging_choice(Workspace& w) {
  const Plan* plan = w.current_plan();
  const std::string first = plan ? plan->first_jaw : "upper";
  const JawsMoved moved = plan ? jaws_moved(*plan) : JawsMoved{};
  small_title("First in theatre");
  for (const char* jaw : {"upper", "lower"}) {
    const bool upper = jaw[0] == 'u';
    if (small_choice(std::string("staging.") + jaw, upper ? "upper jaw" : "lower jaw", first == jaw,
                     "The jaw moved first makes the intermediate position and its splint"))
      run(w, "staging", {{"first", jaw}});
    if (upper) ImGui::SameLine(0, px(2));
  }
  const char* between = !moved.both()      ? (moved.upper   ? "Only the upper jaw moves: nothing in between."
                                              : moved.lower ? "Only the lower jaw moves: nothing in between."
                                                            : "")
                        : first == "upper" ? "In between: upper jaw as planned, lower as it was."
                                           : "In between: lower jaw as planned, upper as it was.";
  // Said where the choice of the position shown and the reset still have room below.
  if (*between && ImGui::GetContentRegionAvail().y > px(150)) ui::soft_text(between);
}

void reset_choice(Workspace& w) {
  if (small_choice("reset", "Reset", false, "Puts this jaw back to where it started; undo brings the movement back"))
    run(w, "reset", {{"segment", w.segment}});
}

// Which position of the plan the views and the readings show.
void position_choice(Workspace& w) {
  const Plan* plan = w.current_plan();
  const JawsMoved moved = plan ? jaws_moved(*plan) : JawsMoved{};
  if (!moved.upper && !moved.lower) return reset_choice(w);
  const struct {
    Moment moment;
    const char *name, *words, *hint;
  } choices[] = {{Moment::rest, "start", "start", "The jaws as they were"},
                 {Moment::intermediate, "between", "in between", "The first jaw moved, the other as it was"},
                 {Moment::planned, "plan", "plan", "Both jaws as planned"}};
  small_title("Shown");
  for (const auto& c : choices) {
    if (c.moment == Moment::intermediate && !moved.both()) continue;
    if (small_choice(std::string("shown.") + c.name, c.words, w.moment() == c.moment, c.hint))
      run(w, "compare", {{"shown", c.name}});
    ImGui::SameLine(0, px(2));
  }
  reset_choice(w);
}

void history(Workspace& w) {
  const auto steps = w.document.history();
  if (steps.empty() || ImGui::GetContentRegionAvail().y < px(64)) return;  // no scrolling for it
  ui::gap_above(10);
  ui::soft_text("History, latest first");
  const float width = ImGui::GetContentRegionAvail().x;
  for (std::size_t i = 0; i < std::min<std::size_t>(steps.size(), 3); ++i) {
    const std::string& step = steps[steps.size() - 1 - i];
    if (ui::lines_height(fonts().small, step, width) + px(8) > ImGui::GetContentRegionAvail().y) return;
    ui::paragraph(fonts().small, theme().text, step.c_str());
  }
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
  ui::gap_above(4);
  if (!edited) {
    ui::paragraph(fonts().body, theme().text, capital(edited.error().sentence()).c_str());
    return;
  }
  if (segment_has_note(w.segment)) {
    movement_note(w);
    ui::gap_above(2);
  }
  movement_numbers(w);
  face_outcome(w);
  pivot_choice(w, edited.value());
  staging_choice(w);
  position_choice(w);
  stability_rows(w);
  history(w);
}

}  // namespace intercusp
