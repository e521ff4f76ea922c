// How each kind of question is asked. A function gives nothing where the bite drawn makes no fair question.
#pragma once

#include <optional>

#include "practice/bite_draw.h"
#include "practice/bite_reading.h"

namespace intercusp {

/// What a question is made of. `random` goes on where the bite's draw began anew.
struct Asking {
  const QuestionSpec& spec;
  const DrawnBite& bite;
  BiteReading& reading;
  FixedRandom random;
  std::optional<PlanEntry> moved;
};
using Asked = std::optional<PracticeQuestion>;

Asked ask_side_relation(Asking& a);
Asked ask_angle_class(Asking& a);
Asked ask_division(Asking& a);
Asked ask_subdivision(Asking& a);
Asked ask_number(Asking& a);
Asked ask_midline(Asking& a);
Asked ask_open_bite(Asking& a);
Asked ask_crossbite(Asking& a);
Asked ask_tooth_size(Asking& a);
Asked ask_skeletal(Asking& a);
Asked ask_notation(Asking& a);
Asked ask_landmark(Asking& a);
Asked ask_correction(Asking& a);
Asked ask_interference(Asking& a);
Asked ask_sheet(Asking& a);

/// A question with nothing but what is asked and how it is answered.
PracticeQuestion question_for(const Asking& a, AnswerForm form, const std::string& prompt);

/// How far off a reading may be and still be right, mm, before the uncertainty of the truth.
double tolerance_of(const QuestionSpec& spec);
/// How far off a number may be: `right` by the difficulty, each widened by the uncertainty of the truth.
void allow_errors(PracticeQuestion& question);

/// Normal distribution function.
double below(double x, double mean, double sd);

/// Sorts the choices by the engine's numbers, the same on every platform.
void shuffle(std::vector<Choice>& choices, FixedRandom& random);

/// Credit by probability: the likeliest is right, and so is what is nearly as likely. Marks the question where two are.
void credit_by_odds(PracticeQuestion& question);

}  // namespace intercusp
