// What is estimated or measured in millimetres.
#include <algorithm>
#include <cmath>

#include "practice/asking.h"

namespace intercusp {

namespace {

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
      return number_question(
          a, "How much room is missing in the " + arch + " arch, from second premolar to second premolar?",
          "crowding_" + arch, "crowding", "spacing");
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
  constexpr double kOfTheShift = 0.75;
  if (question && a.spec.version > 1)
    question->near_within =
        std::clamp(kOfTheShift * std::abs(question->value), question->right_within, question->near_within);
  return question;
}

}  // namespace intercusp
