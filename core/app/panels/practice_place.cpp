// Practice as its own place: a bar above, the question on the left, the reading on the right once it is answered.
#include <cmath>

#include "app/panels/practice_panel.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/commands.h"
#include "app/work/practice.h"

namespace intercusp {

namespace {

std::string bar_words(const PracticeState& p) {
  if (p.finished) return p.set.title.empty() ? "Finished" : p.set.title + ": finished";
  std::string words = "Question " + std::to_string(p.at + 1) + " of " + std::to_string(p.set.count);
  if (!p.set.title.empty()) words = p.set.title + ": " + words;
  return words + ", " + tools_words(p.set.tools);
}

void practice_bar(Workspace& w, const Rect& r) {
  const PracticeState& p = *w.practice;
  begin_panel("practice_bar", r);
  ImGui::GetWindowDrawList()->AddLine({r.x, r.y + r.h - 1}, {r.x + r.w, r.y + r.h - 1}, theme().line);
  const float leave = ui::text_width(fonts().body, "Leave practice") + px(24), room = r.w - leave - px(48);
  const float title = ui::put_text(ImGui::GetWindowDrawList(), fonts().strong, r.x + px(16),
                                   r.y + 0.5f * (r.h - fonts().strong->FontSize), theme().text, "Practice");
  ui::put_text(ImGui::GetWindowDrawList(), fonts().body, r.x + px(32) + title,
               r.y + 0.5f * (r.h - fonts().body->FontSize), theme().soft,
               ui::fitted(fonts().body, bar_words(p), room - title));
  ImGui::SetCursorScreenPos({r.x + r.w - px(16) - leave, r.y + 0.5f * (r.h - target_height())});
  ui::ButtonLook look;
  look.width = leave;
  if (ui::button("practice.leave", "Leave practice", look)) run(w, "practice_leave");
  ImGui::End();
}

/// A sign for each question: its verdict, a dot where an answer is not marked here, a ring where none is given.
void practice_dots(const PracticeState& p, float x, float y, float room) {
  ImDrawList* list = ImGui::GetWindowDrawList();
  const int count = p.set.count;
  const float step = std::min(px(16), room / static_cast<float>(count));
  for (int i = 0; i < count; ++i) {
    const ImVec2 c{x + step * static_cast<float>(i), y};
    const auto number = static_cast<std::size_t>(i);
    if (number < p.marked.size())
      put_verdict(list, c, p.marked[number].verdict, std::min(0.5f, 0.035f * step / px(1)));
    else if (number < p.given.size())
      list->AddCircleFilled(c, px(4), theme().accent, 16);
    else
      list->AddCircle(c, px(4), number == p.at ? theme().accent : theme().soft, 16, std::max(1.0f, px(1.5f)));
  }
}

void practice_foot(Workspace& w, const Rect& r) {
  const PracticeState& p = *w.practice;
  begin_panel("practice_foot", r);
  ImGui::GetWindowDrawList()->AddLine({r.x, r.y}, {r.x + r.w, r.y}, theme().line);
  practice_dots(p, r.x + px(22), r.y + px(16), r.w - px(44));
  std::string words = "Generated jaws, no patient.";
  if (p.ticket)
    words += " Graded: your answers are marked by your teacher; this program does not know what is right.";
  else
    words += " Your progress stays on this machine.";
  if (!p.code.empty() && !p.ticket) words += " For practice: the answers could be worked out of the link.";
  ui::put_text(ImGui::GetWindowDrawList(), fonts().small, r.x + px(16), r.y + px(27), theme().soft,
               ui::fitted(fonts().small, words, r.w - px(32)));
  ImGui::End();
}

void time_left(const Workspace& w) {
  const PracticeState& p = *w.practice;
  if (p.set.seconds <= 0 || p.mark || !p.question) return;
  const int left = std::max(0, static_cast<int>(std::ceil(p.set.seconds - (w.seconds - p.began))));
  ui::soft_text((std::to_string(left) + " s left").c_str());
}

/// A student's own practice can stay with one kind.
void kind_links(Workspace& w) {
  const PracticeState& p = *w.practice;
  if (!p.code.empty() || !p.question) return;
  ui::gap_above(12);
  const bool one = p.set.kinds.size() == 1;
  if (one) ui::soft_text("The next questions are all of this kind.");
  if (one && ui::link("practice.all", "Ask all kinds again")) run(w, "practice_kind");
  const char* id = info_of(p.question->spec.kind).id;
  if (!one && ui::link("practice.only", "Ask only this kind")) run(w, "practice_kind", {{"kind", id}});
  if (ui::link("practice.class", "For a class: make a set, gather results")) run(w, "class_page");
}

void no_question_yet(Workspace& w) {
  const PracticeState& p = *w.practice;
  if (p.waiting) {
    ui::soft_text(p.ticket ? "The next question comes from the server." : "The next question is being made.");
  } else if (p.ticket) {
    ui::paragraph(fonts().body, theme().overlap_text, p.trouble.c_str());
    ui::gap_above(8);
    if (ui::button("practice.again_for", "Ask for it again", {ui::Weight::primary})) run(w, "practice_again");
  } else {
    ui::soft_text("This question could not be made. Leave practice and begin again.");
  }
}

void practice_left_panel(Workspace& w, const Rect& r) {
  const PracticeState& p = *w.practice;
  begin_panel("practice", r, true);
  ImGui::GetWindowDrawList()->AddLine({r.x + r.w - 1, r.y}, {r.x + r.w - 1, r.y + r.h}, theme().line);
  if (p.finished) {
    practice_report(w);
  } else if (!p.question) {
    no_question_yet(w);
  } else {
    ui::heading(info_of(p.question->spec.kind).skill);
    time_left(w);
    practice_question(w);
    if (p.mark)
      practice_marking(w);
    else
      kind_links(w);
  }
  end_scrolling_panel();
}

void practice_hidden_reading(const Workspace& w, const Rect& r) {
  if (r.w <= 0 || r.h <= 0) return;
  begin_panel("practice_hidden", r);
  ImGui::GetWindowDrawList()->AddLine({r.x, r.y}, {r.x, r.y + r.h}, theme().line);
  ui::soft_text(w.practice->ticket ? "In a graded set the bite card and the numbers stay closed."
                                   : "The bite card and the numbers show once you have answered.");
  ImGui::End();
}

}  // namespace

void practice_place(Workspace& w, const Screen& s) {
  practice_bar(w, s.top);
  // Leaving inside the bar ends the place.
  if (!w.practice) return;
  practice_overlay(w);
  if (practice_hides_reading(w) || !w.has_case)
    practice_hidden_reading(w, s.right);
  else
    reading_panel(w, s.right, false);
  practice_left_panel(w, s.left);
  if (w.practice) practice_foot(w, s.foot);
}

}  // namespace intercusp
