// What is estimated or measured in millimetres.
#include <cmath>

#include "practice/asking.h"

namespace intercusp {

namespace {

PracticeQuestion number_question(const Asking& a, const std::string& prompt, const std::string& measure,
                                 const MeasureValue& v) {
  PracticeQuestion question;
  question.spec = a.spec;
  question.form = AnswerForm::number;
  question.prompt = prompt;
  question.unit = "mm";
  question.value = v.value;
  explain_by(question, measure, v);
  allow_errors(question);
  return question;
}

}  // namespace

Asked ask_number(Asking& a) {
  const auto numbered = [&a](const std::string& prompt, const std::string& id) {
    return number_question(a, prompt, id, a.reading.of(id));
  };
  PracticeQuestion question;
  switch (a.spec.kind) {
    case QuestionKind::overjet:
      question = numbered("How large is the overjet, at the central incisors where it is largest?", "overjet");
      question.positive_word = "forward";
      question.negative_word = "reverse";
      return question;
    case QuestionKind::overbite:
      question = numbered("How large is the overbite, at the central incisors with the larger overjet?", "overbite");
      question.positive_word = "overlap";
      question.negative_word = "open";
      return question;
    case QuestionKind::crowding: {
      const std::string arch = a.bite.right ? "lower" : "upper";
      question = numbered("How much room is missing in the " + arch + " arch, from second premolar to second premolar?",
                          "crowding_" + arch);
      question.positive_word = "crowding";
      question.negative_word = "spacing";
      return question;
    }
    default: {
      const std::string side = a.bite.right ? "right" : "left";
      question = numbered("How deep is the curve of Spee on the patient's " + side + "?", "curve_of_spee_" + side);
      question.positive_word = "deep";
      question.negative_word = "reverse";
      return question;
    }
  }
}

Asked ask_midline(Asking& a) {
  PracticeQuestion question =
      number_question(a, "How far is the upper dental midline off the lower one, and to which side of the patient?",
                      "midline_upper_lower", a.reading.of("midline_upper_lower"));
  question.positive_word = "left";
  question.negative_word = "right";
  return question;
}

}  // namespace intercusp
