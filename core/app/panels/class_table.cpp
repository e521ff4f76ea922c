// What a class answered: a bar for each question, and a table of the students.
#include <algorithm>
#include <cmath>
#include <cstdio>

#include "app/panels/class_panel.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/class_work.h"
#include "app/work/commands.h"
#include "practice/words.h"

namespace intercusp {

namespace {

std::string counted_verdicts(const QuestionSummary& s) {
  return std::to_string(s.right) + " right, " + std::to_string(s.near) + " near, " + std::to_string(s.wrong) + " wrong";
}

/// Right, near and wrong as parts of one bar; near and wrong are told apart by form as well.
void verdict_bar(const QuestionSummary& s, ImVec2 at, float width, float height) {
  ImDrawList* list = ImGui::GetWindowDrawList();
  const Theme& t = theme();
  const auto all = static_cast<float>(s.right + s.near + s.wrong);
  list->AddRectFilled(at, {at.x + width, at.y + height}, t.raised);
  if (all == 0) return;
  float x = at.x;
  const auto part = [&](std::size_t n) {
    const float from = x;
    x += width * static_cast<float>(n) / all;
    return std::pair<ImVec2, ImVec2>{{from, at.y}, {x, at.y + height}};
  };
  const auto right = part(s.right), near = part(s.near), wrong = part(s.wrong);
  list->AddRectFilled(right.first, right.second, t.usual);
  list->AddRectFilled(near.first, near.second, with_alpha(t.gap, 0.35f));
  ui::hatch(list, near.first, near.second, t.gap, px(6));
  list->AddRect({wrong.first.x, wrong.first.y}, wrong.second, t.overlap, 0, 0, s.wrong > 0 ? px(2) : 0);
}

void bar_legend() {
  ui::soft_text("Filled: right. Hatched: near. Outlined: wrong.");
}

std::string time_words(const MarkedResult& r) {
  double seconds = 0;
  for (const double s : r.seconds) seconds += s;
  if (seconds <= 0) return "not timed";
  const long whole = std::lround(seconds);
  char text[40];
  std::snprintf(text, sizeof text, "%ld:%02ld min", whole / 60, whole % 60);
  return text;
}

/// Columns of the table, left edges in device pixels.
struct TableColumns {
  float name, total, time, key, cells, cell;
  std::size_t shown;  ///< questions that have room
};

TableColumns table_columns(float left, float room, std::size_t questions) {
  TableColumns t{};
  const float name = std::min(px(180), 0.24f * room);
  t.name = left + px(30);
  t.total = t.name + name;
  t.time = t.total + px(76);
  t.key = t.time + px(84);
  t.cells = t.key + px(206);
  const float free = left + room - t.cells;
  t.cell = std::clamp(free / static_cast<float>(std::max<std::size_t>(1, questions)), px(33), px(38));
  t.shown = std::min(questions, static_cast<std::size_t>(std::max(1.0f, std::floor(free / t.cell))));
  return t;
}

void table_head(const TableColumns& t, float y, std::size_t first) {
  ImDrawList* list = ImGui::GetWindowDrawList();
  const auto put = [&](float x, const char* words) {
    ui::put_text(list, fonts().small_strong, x, y, theme().soft, words);
  };
  put(t.name, "Student");
  put(t.total, "Credit");
  put(t.time, "Time");
  put(t.key, "Signed with key");
  for (std::size_t i = 0; i < t.shown; ++i)
    ui::put_text(list, fonts().small_strong, t.cells + t.cell * (static_cast<float>(i) + 0.5f), y, theme().soft,
                 std::to_string(first + i + 1), 0.5f);
}

void credit_cell(const Mark& mark, bool read, ImVec2 from, ImVec2 to) {
  const Theme& t = theme();
  ImDrawList* list = ImGui::GetWindowDrawList();
  const bool right = mark.verdict == Verdict::right, near = mark.verdict == Verdict::near;
  const ImVec2 a{from.x + px(2), from.y + px(2)}, b{to.x - px(2), to.y - px(2)};
  if (right) list->AddRectFilled(a, b, with_alpha(t.usual, 0.25f), px(3));
  if (near) ui::hatch(list, a, b, with_alpha(t.gap, 0.5f), px(6));
  const std::string words = read ? short_number(mark.credit) : "\xE2\x88\x92";
  ui::put_text(list, fonts().small, 0.5f * (a.x + b.x), 0.5f * (a.y + b.y - fonts().small->FontSize),
               right  ? t.usual_text
               : near ? t.gap_text
                      : t.overlap_text,
               words, 0.5f);
}

void student_row(const ClassWork& c, std::size_t number, const TableColumns& t, float y, float h) {
  const MarkedResult& r = c.gathered->results[number];
  ImDrawList* list = ImGui::GetWindowDrawList();
  const float text = y + 0.5f * (h - fonts().small->FontSize);
  const auto put = [&](float x, const std::string& words, ImU32 ink) {
    ui::put_text(list, fonts().small, x, text, ink, words);
  };
  put(t.name - px(30), std::to_string(number + 1), theme().soft);
  put(t.name, ui::fitted(fonts().small, r.by.empty() ? "(no name)" : r.by, t.total - t.name - px(8)), theme().text);
  put(t.total, short_number(r.credit) + " of " + std::to_string(r.marks.size()), theme().text);
  put(t.time, time_words(r), theme().soft);
  put(t.key, signer_words(r), r.key.empty() ? theme().soft : theme().text);
  for (std::size_t i = 0; i < t.shown && c.first_question + i < r.marks.size(); ++i) {
    const float x = t.cells + t.cell * static_cast<float>(i);
    credit_cell(r.marks[c.first_question + i], r.read[c.first_question + i], {x, y}, {x + t.cell, y + h});
  }
  list->AddLine({t.name - px(30), y + h}, {t.cells + t.cell * static_cast<float>(t.shown), y + h}, theme().line);
}

/// Where not all questions have room beside each other.
void question_pager(Workspace& w, std::size_t shown) {
  ClassWork& c = *w.class_work;
  const std::size_t all = c.gathered->questions.size();
  if (shown >= all) return;
  const std::size_t last = std::min(all, c.first_question + shown);
  ui::ButtonLook look;
  look.enabled = c.first_question > 0;
  if (ui::button("class.questions.before", "Questions before", look))
    run(w, "class_show", {{"first_question", c.first_question - std::min(c.first_question, shown)}});
  ImGui::SameLine(0, px(8));
  look.enabled = last < all;
  if (ui::button("class.questions.next", "Next questions", look)) run(w, "class_show", {{"first_question", last}});
  const ImVec2 end = ImGui::GetItemRectMax();
  ImGui::SameLine(0, px(12));
  ImGui::SetCursorScreenPos({end.x + px(12), end.y - 0.5f * (target_height() + fonts().small->FontSize)});
  ui::soft_text(
      (std::to_string(c.first_question + 1) + " to " + std::to_string(last) + " of " + std::to_string(all)).c_str());
  ui::gap_above(8);
}

}  // namespace

void class_question_plot(Workspace& w) {
  const GatheredSet& g = *w.class_work->gathered;
  bar_legend();
  const float room = ImGui::GetContentRegionAvail().x, height = px(14);
  for (std::size_t i = 0; i < g.questions.size(); ++i) {
    const QuestionSummary& s = g.summaries[i];
    ui::gap_above(12);
    const QuestionSpec& spec = g.questions[i].spec;
    ui::paragraph(fonts().body, theme().text,
                  (std::to_string(i + 1) + "  " + info_of(spec.kind).skill + ", difficulty " +
                   std::to_string(spec.difficulty) + ": " + counted_verdicts(s))
                      .c_str());
    const ImVec2 at = ImGui::GetCursorScreenPos();
    verdict_bar(s, at, room, height);
    ImGui::Dummy({room, height});
    ui::note_rect("class.plot." + std::to_string(i + 1), at, {at.x + room, at.y + height});
    ui::soft_text(("It is: " + g.questions[i].truth_words).c_str());
    if (!s.usual_wrong.empty())
      ui::paragraph(fonts().small, theme().overlap_text, ("Usual wrong answer: " + s.usual_wrong).c_str());
  }
}

void class_student_table(Workspace& w) {
  const ClassWork& c = *w.class_work;
  const float room = ImGui::GetContentRegionAvail().x;
  const TableColumns t = table_columns(ImGui::GetCursorScreenPos().x, room, c.gathered->questions.size());
  question_pager(w, t.shown);
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float head = fonts().small->FontSize + px(8), h = px(30);
  table_head(t, at.y, c.first_question);
  for (std::size_t i = 0; i < c.gathered->results.size(); ++i)
    student_row(c, i, t, at.y + head + h * static_cast<float>(i), h);
  const float whole = head + h * static_cast<float>(c.gathered->results.size());
  ImGui::Dummy({room, whole});
  ui::note_rect("class.table", at, {at.x + room, at.y + whole});
}

}  // namespace intercusp
