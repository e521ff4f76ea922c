#include "practice/asking.h"

#include <algorithm>
#include <cmath>

#include "practice/plain_definition.h"

namespace intercusp {

PracticeQuestion question_for(const Asking& a, AnswerForm form, const std::string& prompt) {
  PracticeQuestion question;
  question.spec = a.spec;
  question.form = form;
  question.prompt = prompt;
  question.definition = plain_definition(a.spec.kind);
  return question;
}

double tolerance_of(const QuestionSpec& spec) {
  return spec.difficulty <= 2 ? 1.0 : spec.difficulty <= 4 ? 0.75 : 0.5;
}

void allow_errors(PracticeQuestion& question) {
  const double tolerance = tolerance_of(question.spec);
  question.right_within = std::hypot(tolerance, question.uncertainty);
  question.near_within = std::hypot(2 * tolerance, question.uncertainty);
}

double below(double x, double mean, double sd) {
  return 0.5 * std::erfc((mean - x) / (std::sqrt(2.0) * sd));
}

void shuffle(std::vector<Choice>& choices, FixedRandom& random) {
  for (std::size_t i = choices.size(); i > 1; --i)
    std::swap(choices[i - 1], choices[random.below(static_cast<std::uint32_t>(i))]);
}

void credit_by_odds(PracticeQuestion& question) {
  auto& choices = question.choices;
  const auto best = std::max_element(choices.begin(), choices.end(),
                                     [](const Choice& a, const Choice& b) { return a.probability < b.probability; });
  best->credit = 1;
  int right = 1;
  for (auto c = choices.begin(); c != choices.end(); ++c) {
    if (c == best || c->probability < kDefensible) continue;
    c->credit = 1;
    ++right;
  }
  question.two_answers = right > 1;
}

}  // namespace intercusp
