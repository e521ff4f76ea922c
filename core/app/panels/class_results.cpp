// Where the results of a class come in, and what stands beside the table.
#include "app/panels/class_panel.h"
#include "app/theme.h"
#include "app/widgets/widgets.h"
#include "app/work/class_work.h"
#include "app/work/commands.h"
#include "review/agreed.h"

namespace intercusp {

namespace {

constexpr std::size_t kTroublesShown = 12;

void inbox_buttons(Workspace& w) {
  ClassWork& c = *w.class_work;
  const auto link = read_set_link(c.set_text);
  if (!link || !link.value().inbox) return;
  ui::gap_above(6);
  ui::ButtonLook look;
  look.enabled = !c.fetching;
  if (ui::button("class.fetch", c.fetching ? "Asking the server" : "Fetch results", look)) run(w, "class_fetch");
  ui::ButtonLook quiet;
  quiet.weight = ui::Weight::quiet;
  quiet.hint = "The inbox and all that is in it, on the server; what is here stays";
  const char* words = c.sure_to_delete ? "Really delete it" : "Delete the inbox";
  stay_in_line_for(ui::text_width(fonts().body, words) + px(24));
  if (ui::button("class.delete_inbox", words, quiet)) {
    if (c.sure_to_delete) run(w, "class_delete_inbox");
    c.sure_to_delete = !c.sure_to_delete;
  }
}

void notes_on_lines(const ClassWork& c) {
  if (!c.lines) return;
  const ResultLines& lines = *c.lines;
  if (!lines.troubles.empty()) {
    class_label((std::to_string(lines.troubles.size()) + (lines.troubles.size() == 1 ? " code was" : " codes were") +
                 " left out")
                    .c_str());
    for (std::size_t i = 0; i < std::min(kTroublesShown, lines.troubles.size()); ++i)
      ui::paragraph(fonts().small, theme().overlap_text, trouble_words(lines.troubles[i]).c_str());
    if (lines.troubles.size() > kTroublesShown)
      ui::soft_text(("and " + std::to_string(lines.troubles.size() - kTroublesShown) + " more").c_str());
  }
  if (lines.repeated > 0)
    ui::soft_text((std::to_string(lines.repeated) + " stood there more than once and counted once.").c_str());
  if (lines.without_code > 0)
    ui::soft_text((std::to_string(lines.without_code) + (lines.without_code == 1 ? " line holds" : " lines hold") +
                   " no result code.")
                      .c_str());
  if (c.cannot_check)
    ui::paragraph(
        fonts().small, theme().overlap_text,
        "Signatures cannot be checked here: the results count as unsigned. Use a current browser, over https.");
}

void shown_choice(Workspace& w, const char* id, const char* words, bool by_student) {
  ui::ButtonLook look;
  look.chosen = w.class_work->by_student == by_student;
  if (ui::button(id, words, look)) run(w, "class_show", {{"by_student", by_student}});
}

std::string earlier_words(const MadeSet& made) {
  const auto set = read_set_code(made.code);
  std::string words = made.title.empty() ? "Without a title" : made.title;
  if (set)
    words += ", " + std::to_string(set.value().count) + (set.value().count == 1 ? " question" : " questions") +
             (is_graded(set.value()) ? ", graded" : ", seed " + std::to_string(set.value().seed));
  if (!made.inbox.empty())
    words += ", inbox" + (made.ends_ms > 0 ? " until " + moment_words(made.ends_ms).substr(0, 10) : std::string());
  return words;
}

void earlier_sets(Workspace& w) {
  const ClassWork& c = *w.class_work;
  if (c.earlier.empty()) return;
  ui::gap_above(20);
  ui::paragraph(fonts().strong, theme().text, "Sets made here");
  ui::soft_text("Choose one to gather its results.");
  for (std::size_t i = 0; i < c.earlier.size(); ++i) {
    ui::ButtonLook look;
    look.weight = ui::Weight::quiet;
    const std::string words = earlier_words(c.earlier[i]);
    const std::string shown = ui::fitted(fonts().body, words, ImGui::GetContentRegionAvail().x - px(24));
    if (ui::button(("class.earlier." + std::to_string(i)).c_str(), shown.c_str(), look)) {
      run(w, "class_choose", {{"index", i}});
      return;
    }
  }
}

std::string class_head_words(const ClassWork& c) {
  const std::size_t n = c.gathered->results.size();
  const std::string title = c.link.set.title.empty() ? "The set" : c.link.set.title;
  return title + ": " + std::to_string(n) + (n == 1 ? " student" : " students");
}

void class_answers(Workspace& w) {
  const ClassWork& c = *w.class_work;
  ui::heading(class_head_words(c).c_str());
  shown_choice(w, "class.by_question", "By question", false);
  ImGui::SameLine(0, px(4));
  shown_choice(w, "class.by_student", "By student", true);
  ImGui::SameLine(0, px(16));
  if (ui::button("class.save", "Save as CSV")) run(w, "class_save");
  ui::gap_above(10);
  c.by_student ? class_student_table(w) : class_question_plot(w);
  if (c.one_hand.empty()) return;
  ui::gap_above(14);
  for (const std::string& words : c.one_hand) {
    std::string sentence = words + ".";
    sentence[0] = 'R';
    ui::paragraph(fonts().small, theme().overlap_text, sentence.c_str());
  }
  ui::soft_text("Students who share a computer share its key as well.");
}

}  // namespace

void class_results_in(Workspace& w) {
  ClassWork& c = *w.class_work;
  ui::heading("Gather results");
  class_label("Link or code of the set");
  ui::text_field("class.set", "paste the link or the code", c.set_text);
  inbox_buttons(w);
  if (!c.fetched.empty()) ui::soft_text(c.fetched.c_str());
  class_label("Result codes, one a line");
  ui::text_lines("class.results", c.results_text, 10);
  ui::gap_above(8);
  ui::ButtonLook look{ui::Weight::primary};
  look.enabled = !c.marking;
  if (ui::button("class.gather", c.marking ? "Marking" : "Mark them", look)) run(w, "class_gather");
  ui::ButtonLook plain;
  plain.hint = "Files with result codes in them";
  stay_in_line_for(ui::text_width(fonts().body, "Open files") + px(24));
  if (ui::button("class.open", "Open files", plain)) run(w, "ask_for_files");
  stay_in_line_for(ui::text_width(fonts().body, "Clear") + px(24));
  ui::ButtonLook quiet;
  quiet.weight = ui::Weight::quiet;
  if (ui::button("class.clear", "Clear", quiet)) run(w, "class_clear");
  notes_on_lines(c);
}

void class_results_out(Workspace& w) {
  const ClassWork& c = *w.class_work;
  if (c.gathered)
    class_answers(w);
  else
    ui::soft_text(c.marking ? "The answers are being marked."
                            : "The table will stand here: each student's credit for each question, and for each "
                              "question how many were right and the usual wrong answer.");
  earlier_sets(w);
}

}  // namespace intercusp
