// What is estimated or measured in millimetres.
#include <algorithm>
#include <cmath>

#include "practice/asking.h"
#include "practice/words.h"

namespace intercusp {

namespace {

// Of what is there; less than the rest of it has to be seen.
constexpr double kRightShare = 0.6, kNearShare = 0.75;

/// A sum of many widths is uncertain by more than small crowding is large: then none would be a right answer, too.
void hold_to_the_amount(PracticeQuestion& question) {
  const double amount = std::abs(question.value), tolerance = tolerance_of(question.spec);
  question.right_within = std::min(question.right_within, std::max(tolerance, kRightShare * amount));
  question.near_within = std::clamp(kNearShare * amount, question.right_within, question.near_within);
}

/// How large a measure is, and what each direction of it is called.
Asked number_question(Asking& a, const std::string& prompt, const std::string& measure, const char* positive,
                      const char* negative) {
  const auto v = a.reading.of(measure);
  if (!v) return std::nullopt;
  PracticeQuestion question = question_for(a, AnswerForm::number, prompt);
  question.unit = "mm";
  question.value = v->value;
  question.positive_word = positive;
  question.negative_word = negative;
  explain_by(question, measure, *v);
  allow_errors(question);
  if (a.spec.version > 2) hold_to_the_amount(question);
  return question;
}

}  // namespace

Asked ask_number(Asking& a) {
  switch (a.spec.kind) {
    case QuestionKind::overjet:
      return number_question(a, "How large is the overjet, at the central incisors where it is largest?", "overjet",
                             "forward", "reverse");
    case QuestionKind::overbite:
      return number_question(a, "How large is the overbite, at the central incisors with the larger overjet?",
                             "overbite", "overlap", "open");
    case QuestionKind::crowding: {
      const std::string arch = a.bite.right ? "lower" : "upper";
      auto question = number_question(
          a, "How much room is missing in the " + arch + " arch, from second premolar to second premolar?",
          "crowding_" + arch, "crowding", "spacing");
      const auto room = a.reading.of("arch_perimeter_" + arch);
      if (question && room)
        question->note = "The ten teeth are " + short_number(room->value + question->value, 1) +
                         " mm wide together; the arch has " + short_number(room->value, 1) + " mm for them.";
      return question;
    }
    default: {
      const std::string side = a.bite.right ? "right" : "left";
      return number_question(a, "How deep is the curve of Spee on the patient's " + side + "?", "curve_of_spee_" + side,
                             "deep", "reverse");
    }
  }
}

Asked ask_midline(Asking& a) {
  auto question =
      number_question(a, "How far is the upper dental midline off the lower one, and to which side of the patient?",
                      "midline_upper_lower", "left", "right");
  // What overlooks most of a shift, or names one where the midlines agree, is not near.
  if (question && a.spec.version == 2)
    question->near_within =
        std::clamp(kNearShare * std::abs(question->value), question->right_within, question->near_within);
  return question;
}

}  // namespace intercusp
