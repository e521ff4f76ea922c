// The controls with which a question is answered.
#include <algorithm>
#include <cmath>

#include "app/panels/practice_panel.h"
#include "app/theme.h"
#include "app/widgets/quantity.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/practice.h"
#include "practice/words.h"

namespace intercusp {

namespace {

constexpr double kMostOfABite = 30;  ///< mm; a larger number is a slip of the hand

/// A choice as a row of its own, in as many lines as its words need.
void choice_row(Workspace& w, std::size_t i) {
  const PracticeState& p = *w.practice;
  const Theme& t = theme();
  const std::string& words = p.question->choices[i].words;
  const float width = ImGui::GetContentRegionAvail().x, inner = width - px(40);
  const float tall = ui::lines_height(fonts().body, words, inner);
  const float h = std::max(target_height(), tall + px(10));
  const ui::AreaState s = ui::area(("practice.choice." + std::to_string(i + 1)).c_str(), {width, h});
  const ImVec2 from = ImGui::GetItemRectMin(), to = ImGui::GetItemRectMax();
  ImDrawList* list = ImGui::GetWindowDrawList();
  const bool chosen = p.draft.choice == static_cast<int>(i);
  list->AddRectFilled(from, to, s.held ? t.held : chosen ? t.accent_ground : s.hovered ? t.hover : t.raised, px(6));
  const ImVec2 ring{from.x + px(16), 0.5f * (from.y + to.y)};
  list->AddCircle(ring, px(6), chosen ? t.accent : t.soft, 20, std::max(1.5f, px(1.5f)));
  if (chosen) list->AddCircleFilled(ring, px(3), t.accent, 16);
  ui::put_lines(list, fonts().body, from.x + px(32), from.y + 0.5f * (h - tall), inner, t.text, words);
  if (s.clicked) run(w, "practice_draft", {{"choice", i + 1}});
}

void step_button(Workspace& w, double by) {
  const AnswerDraft& d = w.practice->draft;
  const std::string label = std::string(by < 0 ? "\xE2\x88\x92" : "+") + short_number(std::abs(by));
  ui::ButtonLook look;
  look.width = px(58);
  look.enabled = by > 0 || d.number > 0;
  if (ui::button(("practice.step." + short_number(by)).c_str(), label.c_str(), look))
    run(w, "practice_draft", {{"number", std::max(0.0, d.number + by)}});
}

void number_controls(Workspace& w) {
  const PracticeQuestion& q = *w.practice->question;
  const AnswerDraft& d = w.practice->draft;
  ui::QuantityLook look;
  look.words = d.number_set ? short_number(d.number) + " mm" : "Type or drag: mm";
  look.value = d.number;
  look.unset = !d.number_set;
  look.range = {{-kMostOfABite, kMostOfABite}};
  look.width = ImGui::GetContentRegionAvail().x;
  const ui::QuantityEdit edit = ui::quantity("practice.number", look);
  if (edit.value && *edit.value < 0 && !q.negative_word.empty())
    run(w, "practice_draft", {{"number", -*edit.value}, {"negative", true}});
  else if (edit.value)
    run(w, "practice_draft", {{"number", std::abs(*edit.value)}});
  for (const double by : {-1.0, -0.5, 0.5, 1.0}) {
    if (by > -1) ImGui::SameLine(0, px(4));
    step_button(w, by);
  }
  if (q.negative_word.empty()) return;
  ui::gap_above(4);
  ui::ButtonLook way;
  way.chosen = d.negative == false;
  if (ui::button("practice.way.positive", q.positive_word.c_str(), way))
    run(w, "practice_draft", {{"negative", false}});
  ImGui::SameLine(0, px(4));
  way.chosen = d.negative == true;
  if (ui::button("practice.way.negative", q.negative_word.c_str(), way)) run(w, "practice_draft", {{"negative", true}});
  if (lacks_direction(*w.practice)) ui::soft_text("Choose the direction.");
}

void tooth_button(Workspace& w, int tooth, float width) {
  ui::ButtonLook look;
  look.chosen = w.practice->draft.teeth.count(tooth) > 0;
  look.width = width;
  const std::string label = std::to_string(tooth);
  if (ui::button(("practice.tooth." + label).c_str(), label.c_str(), look))
    run(w, "practice_draft", {{"tooth", tooth}});
}

const char* quadrant_words(int quadrant) {
  static const char* const kWords[] = {"Upper, patient's right", "Upper, patient's left", "Lower, patient's left",
                                       "Lower, patient's right"};
  return kWords[quadrant - 1];
}

/// Teeth in rows of a quadrant's half, as they stand when one looks at the patient.
void tooth_controls(Workspace& w) {
  const PracticeQuestion& q = *w.practice->question;
  // A finger needs all the width that there is; what is more than that goes between the teeth.
  const float room = ImGui::GetContentRegionAvail().x;
  const float gap = touch_input() ? std::clamp((room - 7 * target_height()) / 6, 0.0f, px(6)) : px(3);
  const float width = std::floor((room - 6 * gap) / 7);
  for (const int quadrant : {1, 2, 4, 3}) {
    const bool right = quadrant == 1 || quadrant == 4;
    bool begun = false;
    const bool asked = q.offered_teeth.empty() || std::any_of(q.offered_teeth.begin(), q.offered_teeth.end(),
                                                              [&](int tooth) { return tooth / 10 == quadrant; });
    if (asked) ui::soft_text(quadrant_words(quadrant));
    for (int i = 1; i <= 7; ++i) {
      const int tooth = 10 * quadrant + (right ? 8 - i : i);
      const auto& offered = q.offered_teeth;
      if (!offered.empty() && std::find(offered.begin(), offered.end(), tooth) == offered.end()) continue;
      if (begun) ImGui::SameLine(0, gap);
      begun = true;
      tooth_button(w, tooth, width);
    }
  }
}

void point_controls(Workspace& w) {
  const bool placed = !draft_text(w).empty();
  ui::soft_text(placed          ? "Your point is on the model, in a ring. Another place corrects it."
                : touch_input() ? "Touch the place on the model."
                                : "Click the place on the model.");
}

}  // namespace

void practice_question(Workspace& w) {
  const PracticeState& p = *w.practice;
  const PracticeQuestion& q = *p.question;
  ui::paragraph(fonts().strong, theme().text, q.prompt.c_str());
  if (!q.sheet.empty()) {
    ui::gap_above(6);
    ui::paragraph(fonts().body, theme().text, q.sheet.c_str());
  }
  if (p.mark) return;
  ui::gap_above(10);
  switch (q.form) {
    case AnswerForm::choice:
      for (std::size_t i = 0; i < q.choices.size(); ++i) choice_row(w, i);
      break;
    case AnswerForm::number:
      number_controls(w);
      break;
    case AnswerForm::point:
      point_controls(w);
      break;
    default:
      tooth_controls(w);
  }
  if (p.set.tools == PracticeTools::probe) {
    ui::gap_above(8);
    ui::ButtonLook ruler;
    ruler.chosen = w.tool == Tool::rule;
    ruler.hint = "Click two places; in a section the ends lie on its plane";
    if (ui::button("practice.ruler", ruler.chosen ? "Lay the ruler aside" : "Measure between two places", ruler))
      run(w, "ruler");
  }
  ui::gap_above(10);
  ui::ButtonLook look;
  look.weight = ui::Weight::primary;
  look.enabled = !draft_text(w).empty();
  // To say that there is none is an answer that one chooses, not the button one is led to.
  const bool none = q.form == AnswerForm::teeth && p.draft.teeth.empty();
  if (none) look.weight = ui::Weight::plain;
  if (ui::button("practice.answer", none ? "Answer: no tooth" : "Answer", look)) run(w, "practice_answer");
}

}  // namespace intercusp
