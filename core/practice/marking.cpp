#include "practice/marking.h"

#include <algorithm>
#include <cmath>

#include "anatomy/notation.h"
#include "practice/words.h"

namespace intercusp {

namespace {

constexpr double kMostWithOneWrong = 0.75;  ///< credit of a list of teeth that is not right in full

Verdict verdict_of(double credit) {
  return credit >= 1 ? Verdict::right : credit >= 0.5 ? Verdict::near : Verdict::wrong;
}

double credit_within(double off, const PracticeQuestion& question) {
  return off <= question.right_within ? 1 : off <= question.near_within ? 0.5 : 0;
}

std::string within_words(const PracticeQuestion& question) {
  if (question.near_within <= question.right_within)
    return "Up to " + short_number(question.right_within) +
           " mm off counts as right. More is wrong: it would be most of what there is to see.";
  return "Up to " + short_number(question.right_within) + " mm off counts as right, up to " +
         short_number(question.near_within) + " mm as nearly right" +
         (question.spec.kind == QuestionKind::sheet ? ": it is a sum, not a reading."
          : question.form == AnswerForm::point      ? " (two people who place it may differ by as much)."
                                                    : " (what a careful reading may be off).");
}

void mark_choice(const PracticeQuestion& question, const PracticeAnswer& answer, Mark& mark) {
  const Choice& chosen = question.choices[answer.choice];
  mark.credit = chosen.credit;
  if (question.two_answers)
    mark.why = "This case lies at a border: by the uncertainty of the reading two answers count.";
  const auto add = [&mark](const std::string& sentence) { mark.why += (mark.why.empty() ? "" : " ") + sentence; };
  if (chosen.credit > 0 && chosen.credit < 0.5) add("Partly right.");
  if (chosen.credit < 1 && !chosen.leads_to.empty()) add("After your choice " + chosen.leads_to);
}

void mark_number(const PracticeQuestion& question, const PracticeAnswer& answer, Mark& mark) {
  mark.off = answer.number - question.value;
  mark.credit = credit_within(std::abs(*mark.off), question);
  mark.why = within_words(question);
  const bool other_way = answer.number * question.value < 0 && std::abs(question.value) > question.right_within;
  if (!other_way) return;
  // The right amount to the wrong side is no reading error.
  mark.credit = 0;
  mark.why = "The direction is the other one: the amount counts only with its direction.";
}

void mark_teeth(const PracticeQuestion& question, const PracticeAnswer& answer, Mark& mark) {
  const auto has = [](const std::vector<int>& list, int tooth) {
    return std::find(list.begin(), list.end(), tooth) != list.end();
  };
  int counted = 0;
  std::vector<int> missed, invented;
  for (const int tooth : question.offered_teeth) {
    if (has(question.doubtful_teeth, tooth)) continue;
    const bool truth = has(question.teeth, tooth), said = has(answer.teeth, tooth);
    counted += truth;
    if (truth && !said) missed.push_back(tooth);
    if (said && !truth) invented.push_back(tooth);
  }
  // A tooth that was not offered is invented as well, else naming all teeth would be free.
  for (const int tooth : answer.teeth)
    if (!has(question.offered_teeth, tooth)) invented.push_back(tooth);
  const std::size_t wrong = missed.size() + invented.size();
  // Where no tooth is meant, a single one is a finding that is not there: it takes all.
  mark.credit = std::max(0.0, 1 - static_cast<double>(wrong) / std::max(1, counted));
  // Of many teeth one is a small share, and the list is still not the right one.
  if (wrong > 0) mark.credit = std::min(mark.credit, kMostWithOneWrong);
  if (!missed.empty()) mark.why += "Missed: " + teeth_words(missed) + ". ";
  if (!invented.empty()) mark.why += "Not so: " + teeth_words(invented) + ". ";
  if (!question.doubtful_teeth.empty())
    mark.why += teeth_words(question.doubtful_teeth) + " stand cusp to cusp: they count neither way.";
  else if (!mark.why.empty())
    mark.why.pop_back();
}

void mark_tooth(const PracticeQuestion& question, const PracticeAnswer& answer, Mark& mark) {
  const int truth = question.teeth.front(), said = answer.teeth.front();
  mark.credit = truth == said ? 1 : 0;
  if (mark.credit > 0) return;
  if (mirrored_tooth(truth) == said) {
    mark.why = "The tooth is of the other side: left and right are the patient's.";
    mark.credit = 0.25;
  } else if (universal_from_iso(truth) == said) {
    mark.why = "That is its number in the universal system; asked is the two-digit one.";
    // Both numbers are offered, and as a two-digit number this one is another tooth.
    mark.credit = question.spec.version == 1 ? 0.5 : 0;
  }
}

}  // namespace

const char* verdict_word(Verdict verdict) {
  return verdict == Verdict::right ? "right" : verdict == Verdict::near ? "near" : "wrong";
}

const char* shown_verdict(Verdict verdict, double credit) {
  if (verdict == Verdict::wrong && credit > 0) return "Partly correct";
  return verdict == Verdict::right ? "Correct" : verdict == Verdict::near ? "Nearly" : "Not correct";
}

Mark mark_answer(const PracticeQuestion& question, const PracticeAnswer& answer) {
  Mark mark;
  switch (question.form) {
    case AnswerForm::choice:
      mark_choice(question, answer, mark);
      break;
    case AnswerForm::number:
      mark_number(question, answer, mark);
      break;
    case AnswerForm::teeth:
      mark_teeth(question, answer, mark);
      break;
    case AnswerForm::tooth:
      mark_tooth(question, answer, mark);
      break;
    case AnswerForm::point:
      mark.off = (answer.at - question.at).norm();
      mark.credit = credit_within(*mark.off, question);
      mark.why = within_words(question);
      break;
  }
  mark.verdict = verdict_of(mark.credit);
  mark.seen = answer_words(question, answer);
  mark.meant = question.truth_words;
  return mark;
}

}  // namespace intercusp
