// Open bite, crossbite, sizes of teeth, skeletal pattern.
#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "anatomy/notation.h"
#include "practice/asking.h"
#include "practice/words.h"

namespace intercusp {

namespace {

/// Angle from NA to NB in the sagittal plane, degrees; + A in front of B. Patient frame: y backwards.
double anb_deg(const PointMap& p) {
  const Vec3 a = p.at("A") - p.at("N"), b = p.at("B") - p.at("N");
  return degrees(std::atan2(-a.y(), -a.z()) - std::atan2(-b.y(), -b.z()));
}

double anb_sd(const PointMap& points, double landmark_sd_mm) {
  PointMap p = points;
  double squares = 0;
  for (const char* name : {"A", "B", "N"})
    for (const int axis : {1, 2}) {
      constexpr double h = 1e-3;
      p[name][axis] += h;
      const double slope = (anb_deg(p) - anb_deg(points)) / h;
      p[name][axis] -= h;
      squares += slope * slope;
    }
  return std::sqrt(squares) * landmark_sd_mm;
}

/// Whether a reading is so near zero that either side of it can be defended.
bool near_zero(double value, double uncertainty) {
  return std::min(below(0, value, uncertainty), 1 - below(0, value, uncertainty)) >= 0.1;
}

}  // namespace

Asked ask_open_bite(Asking& a) {
  const auto read = a.reading.of("open_bite_anterior"), bite = a.reading.of("overbite");
  if (!read || !bite) return std::nullopt;
  const MeasureValue& v = *read;
  // A canine alone may stand short of its partner in a closed bite: such a case asks about words, not about seeing.
  if ((v.value > 0) != (bite->value < 0)) return std::nullopt;
  PracticeQuestion question = question_for(a, AnswerForm::choice, "Is there an anterior open bite?");
  explain_by(question, "open_bite_anterior", v);
  const double open = 1 - below(0, v.value, v.uncertainty);
  question.choices = {{"No, the front teeth overlap", 0, 1 - open}, {"Yes, the bite is open at the front", 0, open}};
  credit_by_odds(question);
  return question;
}

namespace {

/// From the upper buccal cusp that is compared to the lower one.
Construct crossed_pair(const PointMap& points, int upper) {
  const int lower = upper + (is_right(upper) ? 30 : 10);
  const std::string cusp = is_molar(upper) ? ".mesiobuccal_cusp" : ".buccal_cusp";
  return {"distance",
          {points.at(std::to_string(upper) + cusp), points.at(std::to_string(lower) + cusp)},
          std::to_string(upper)};
}

}  // namespace

Asked ask_crossbite(Asking& a) {
  PracticeQuestion question = question_for(
      a, AnswerForm::teeth,
      "Which upper back teeth are in crossbite (upper buccal cusp inside the lower one)? Name all, or none.");
  std::string measure = "posterior_crossbite_right";
  MeasureValue worst;
  worst.value = 1e9;
  for (const char* id : {"posterior_crossbite_right", "posterior_crossbite_left"}) {
    const auto v = a.reading.of(id);
    if (!v) return std::nullopt;
    if (v->value < worst.value) {
      worst = *v;
      measure = id;
    }
    for (const PairReading& pair : v->pairs) {
      const int tooth = std::atoi(pair.between.c_str());
      question.offered_teeth.push_back(tooth);
      if (near_zero(pair.value, v->uncertainty)) question.doubtful_teeth.push_back(tooth);
      if (pair.value < 0) question.teeth.push_back(tooth);
    }
  }
  const auto is_doubtful = [&](int tooth) {
    return std::count(question.doubtful_teeth.begin(), question.doubtful_teeth.end(), tooth) > 0;
  };
  // Where only teeth that count neither way could be named, every answer would be right.
  const bool nothing_sure = std::all_of(question.teeth.begin(), question.teeth.end(), is_doubtful);
  if (a.spec.version > 1 && nothing_sure && !question.doubtful_teeth.empty()) return std::nullopt;
  for (auto* list : {&question.teeth, &question.doubtful_teeth, &question.offered_teeth})
    std::sort(list->begin(), list->end());
  explain_by(question, measure, worst);
  // The measure shows its worst pair alone, also where none is crossed: here every crossed tooth is shown.
  question.measure.clear();
  question.construct.clear();
  for (const int tooth : question.teeth) question.construct.push_back(crossed_pair(a.reading.points(), tooth));
  question.two_answers = !question.doubtful_teeth.empty();
  question.truth_words = question.teeth.empty() ? "none" : "";
  for (const int tooth : question.teeth)
    question.truth_words += (question.truth_words.empty() ? "" : ", ") + std::to_string(tooth);
  return question;
}

Asked ask_tooth_size(Asking& a) {
  const auto read = a.reading.of("tooth_size_excess_anterior");
  if (!read) return std::nullopt;
  const MeasureValue& v = *read;
  PracticeQuestion question = question_for(
      a, AnswerForm::choice, "Do the six upper and the six lower front teeth fit each other in size (within 2 mm)?");
  explain_by(question, "tooth_size_excess_anterior", v);
  if (std::abs(v.value) < 2) question.truth_words = "they fit; " + question.truth_words + ", less than 2";
  if (const auto ratio = a.reading.of("tooth_size_anterior"))
    question.note =
        "The lower six are " + short_number(ratio->value, 1) + " % of the upper six here; 77.2 % would be even.";
  constexpr double kMatters = 2;  // mm; Othman and Harradine 2007
  question.source += "; 2 mm as what matters: Othman and Harradine 2007, Angle Orthod 77:668-674";
  const double upper = below(-kMatters, v.value, v.uncertainty), lower = 1 - below(kMatters, v.value, v.uncertainty);
  question.choices = {{"They fit", 0, 1 - upper - lower},
                      {"Too much in the upper arch", 0, upper},
                      {"Too much in the lower arch", 0, lower}};
  credit_by_odds(question);
  return question;
}

Asked ask_skeletal(Asking& a) {
  const PointMap& points = a.reading.points();
  for (const char* name : {"A", "B", "N"})
    if (!points.count(name)) return std::nullopt;
  const double anb = anb_deg(points), sd = anb_sd(points, a.reading.input().settings.landmark_sd_mm);
  PracticeQuestion question = question_for(a, AnswerForm::choice, "What is the skeletal pattern from front to back?");
  // Words of the angle; millimetres do not depend on it.
  const long tenths = std::lround(10 * anb);
  question.value = anb;
  question.uncertainty = sd;
  question.truth_words = std::string(anb < 0   ? "Class III"
                                     : anb > 4 ? "Class II"
                                               : "Class I") +
                         ", ANB " + std::string(tenths < 0 ? "minus " : "") + std::to_string(std::labs(tenths) / 10) +
                         "." + std::to_string(std::labs(tenths) % 10) + " degrees";
  question.source = "Steiner 1953: 2 degrees; 2 degrees to each side: common practice; both from memory";
  question.construct = {{"line", {points.at("N"), points.at("A")}, "NA"},
                        {"line", {points.at("N"), points.at("B")}, "NB"}};
  const double three = below(0, anb, sd), two = 1 - below(4, anb, sd);
  question.choices = {{"Class I", 0, 1 - two - three}, {"Class II", 0, two}, {"Class III", 0, three}};
  credit_by_odds(question);
  return question;
}

}  // namespace intercusp
