// Molar and canine relation, class, division, subdivision.
#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "occlusion/relation.h"
#include "practice/asking.h"
#include "practice/words.h"

namespace intercusp {

namespace {

const char* const kQuarterWords[] = {"Class I", "a quarter unit", "half a unit (end to end)",
                                     "three quarters of a unit", "a full unit"};

std::string quarter_words(int q) {
  const std::string amount = kQuarterWords[std::min(std::abs(q), 4)];
  return q == 0 ? amount : amount + " Class " + (q > 0 ? "II" : "III");
}

constexpr int kFar = 99;

/// Probability that the true offset lies at this quarter unit or beyond it in the Class II direction. A Class II begins
/// at the border of the first quarter; any other quarter's border comes to lie there once the offset is shifted.
double at_least(const MeasureValue& v, int quarter) {
  if (quarter >= kFar) return 0;
  if (quarter <= -kFar) return 1;
  const double shift_mm = 0.25 * (quarter - 1) * *v.unit_mm;
  return class_probability(1, v.value - shift_mm, *v.unit_mm, v.uncertainty);
}

/// Probability of these quarter units, both ends included. The value's own list leaves out what is unlikely: its sum
/// would be too small.
double odds_of(const MeasureValue& v, int low, int high) {
  if (!(v.uncertainty > 0)) return low <= *v.quarters && *v.quarters <= high ? 1 : 0;
  return at_least(v, low) - at_least(v, high >= kFar ? kFar : high + 1);
}

/// Beyond a full unit counts as a full unit.
void offer_quarters(PracticeQuestion& question, const MeasureValue& v) {
  for (int q = -4; q <= 4; ++q)
    question.choices.push_back({quarter_words(q), 0, odds_of(v, q == -4 ? -kFar : q, q == 4 ? kFar : q)});
  credit_by_odds(question);
  const int truth = std::clamp(*v.quarters, -4, 4);
  for (int q = -4; q <= 4; ++q) {
    double& credit = question.choices[static_cast<std::size_t>(q + 4)].credit;
    if (credit > 0) continue;
    const bool same_class = q != 0 && truth != 0 && (q > 0) == (truth > 0);
    credit = std::abs(q - truth) == 1 ? 0.5 : same_class ? 0.25 : 0;
  }
}

void offer_classes(PracticeQuestion& question, const MeasureValue& v) {
  question.choices = {
      {"Class I", 0, odds_of(v, 0, 0)}, {"Class II", 0, odds_of(v, 1, kFar)}, {"Class III", 0, odds_of(v, -kFar, -1)}};
  credit_by_odds(question);
}

PracticeQuestion relation_question(const Asking& a, const std::string& prompt) {
  PracticeQuestion question = question_for(a, AnswerForm::choice, prompt);
  question.note = trait_words(a.bite);
  return question;
}

/// How likely each class is on one side: I, II, III.
struct SideOdds {
  double one, two, three;
  explicit SideOdds(const MeasureValue& v)
      : one(odds_of(v, 0, 0)), two(odds_of(v, 1, kFar)), three(odds_of(v, -kFar, -1)) {}
};

/// Of the mean inclination below zero, that is division 2.
double division_two_odds(const MeasureValue& inclination) {
  return below(0, inclination.value, std::max(inclination.uncertainty, 1.0));
}

}  // namespace

Asked ask_side_relation(Asking& a) {
  const bool molar = a.spec.kind == QuestionKind::molar_relation;
  const std::string side = a.bite.right ? "right" : "left", id = (molar ? "molar_" : "canine_") + side;
  const auto read = a.reading.of(id), other = a.reading.of((molar ? "canine_" : "molar_") + side);
  if (!read || !other) return std::nullopt;
  const MeasureValue& v = *read;
  PracticeQuestion question = relation_question(
      a, std::string("What is the ") + (molar ? "molar" : "canine") + " relation on the patient's " + side + "?");
  explain_by(question, id, v);
  a.spec.difficulty <= 2 ? offer_classes(question, v) : offer_quarters(question, v);
  if (v.unit_mm)
    question.definition += " One unit is " + short_number(*v.unit_mm, 1) + " mm here, " +
                           (molar ? "from that groove to the front end of the lower molar."
                                  : "the mean width of the lower canine and first premolar.");
  if (question.note.empty() && other->relation != v.relation)
    question.note = "Molar and canine of this side disagree here: each is read on its own landmarks.";
  return question;
}

namespace {

/// "Molars: right half a unit Class II, 2.81 mm; left Class I, 0.20 mm."
void say_both_sides(PracticeQuestion& question, const MeasureValue& right, const MeasureValue& left) {
  const std::string words = "Molars: right " + in_words(*find_measure("molar_right"), right) + "; left " +
                            in_words(*find_measure("molar_left"), left) + ".";
  question.note = words + (question.note.empty() ? "" : " ") + question.note;
}

}  // namespace

Asked ask_angle_class(Asking& a) {
  const auto v = a.reading.of("angle_class"), molar_right = a.reading.of("molar_right"),
             molar_left = a.reading.of("molar_left"), inclination = a.reading.of("incisor_inclination_upper");
  if (!v || !molar_right || !molar_left || !inclination) return std::nullopt;
  const SideOdds right(*molar_right), left(*molar_left);
  const double two = division_two_odds(*inclination);
  PracticeQuestion question =
      relation_question(a, "What is the class of this bite by the molars, both sides taken together?");
  explain_by(question, "angle_class", *v);
  say_both_sides(question, *molar_right, *molar_left);
  // The sides differ: one is Class I, the other not.
  const double mixed = right.two * left.three + right.three * left.two;
  question.choices = {
      {"Class I", 0, right.one * left.one},
      {"Class II division 1", 0, right.two * left.two * (1 - two)},
      {"Class II division 2", 0, right.two * left.two * two},
      {"Class II, subdivision (one side only)", 0, right.two * left.one + right.one * left.two},
      {"Class III", 0, right.three * left.three},
      {"Class III, subdivision (one side only)", 0, right.three * left.one + right.one * left.three},
      {"Class II on one side and Class III on the other", 0, mixed},
  };
  credit_by_odds(question);
  // Right class, but the division or the one-sidedness was missed.
  const auto near = [&](std::size_t from, std::size_t to) {
    for (std::size_t i = from; i <= to; ++i)
      for (std::size_t j = from; j <= to; ++j)
        if (question.choices[i].credit == 1 && question.choices[j].credit == 0) question.choices[j].credit = 0.5;
  };
  near(1, 3);
  near(4, 5);
  return question;
}

Asked ask_division(Asking& a) {
  const auto v = a.reading.of("angle_class"), inclination = a.reading.of("incisor_inclination_upper");
  if (!v || !inclination || v->relation != "II") return std::nullopt;
  const double two = division_two_odds(*inclination);
  PracticeQuestion question = relation_question(a, "This bite is Class II. Which division?");
  explain_by(question, "incisor_inclination_upper", *inclination);
  question.source = "Angle 1899, Dental Cosmos 41:248-264; 0 degrees as the limit: common practice, no source";
  question.truth_words = *v->finding + "; the upper central incisors stand " + question.truth_words;
  question.choices = {{"Division 1", 0, 1 - two}, {"Division 2", 0, two}};
  credit_by_odds(question);
  return question;
}

Asked ask_subdivision(Asking& a) {
  const auto v = a.reading.of("angle_class"), molar_right = a.reading.of("molar_right"),
             molar_left = a.reading.of("molar_left");
  if (!v || !molar_right || !molar_left) return std::nullopt;
  const SideOdds right(*molar_right), left(*molar_left);
  PracticeQuestion question = relation_question(a, "Is this bite a subdivision, and of which side?");
  explain_by(question, "angle_class", *v);
  say_both_sides(question, *molar_right, *molar_left);
  const double same = right.one * left.one + right.two * left.two + right.three * left.three;
  question.choices = {
      {"No: both sides are of one class", 0, same},
      {"Subdivision right", 0, (right.two + right.three) * left.one},
      {"Subdivision left", 0, right.one * (left.two + left.three)},
      {"No: one side is Class II and the other Class III", 0, right.two * left.three + right.three * left.two}};
  credit_by_odds(question);
  // The sides were seen to differ, only the side was named the other way round: usage differs (Siegel 2002, from
  // memory), so that is near.
  if (question.choices[1].credit == 1 && question.choices[2].credit == 0) question.choices[2].credit = 0.25;
  if (question.choices[2].credit == 1 && question.choices[1].credit == 0) question.choices[1].credit = 0.25;
  return question;
}

}  // namespace intercusp
