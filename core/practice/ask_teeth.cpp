// Which tooth, and where a landmark lies.
#include "anatomy/notation.h"
#include "practice/asking.h"

namespace intercusp {

namespace {

int drawn_tooth(FixedRandom& random) {
  // One draw a statement: the order within an expression is the compiler's.
  const std::uint32_t quarter = 1 + random.below(4);
  const std::uint32_t place = 1 + random.below(7);
  return static_cast<int>(10 * quarter + place);
}

/// The middle of the crown as it is seen from outside: a tip would lie over the teeth of the other jaw. Behind the
/// canines it is the height of the middle below (above) the tip of the front outer cusp.
std::optional<Vec3> middle_of_crown(const PointMap& points, int tooth) {
  constexpr double kFromTip = 3;  // mm
  const bool front = position(tooth) <= 3;
  const auto found = points.find(std::to_string(tooth) + (front             ? ".labial_mid"
                                                          : is_molar(tooth) ? ".mesiobuccal_cusp"
                                                                            : ".buccal_cusp"));
  if (found == points.end()) return std::nullopt;
  return found->second + Vec3(0, 0, front ? 0 : is_upper(tooth) ? kFromTip : -kFromTip);
}

const char* const kAsked[] = {"cusp_tip",          "mesiobuccal_cusp",  "buccal_groove",     "buccal_cusp",
                              "incisal_edge_mid",  "distobuccal_cusp",  "mesiopalatal_cusp", "distal_cusp",
                              "mesiolingual_cusp", "distolingual_cusp", "distopalatal_cusp"};

}  // namespace

Asked ask_notation(Asking& a) {
  const int tooth = drawn_tooth(a.random);
  const auto middle = middle_of_crown(a.reading.points(), tooth);
  if (!middle) return std::nullopt;
  PracticeQuestion question = question_for(a, AnswerForm::tooth, "Which tooth is marked? Give its two-digit number.");
  question.marked = middle;
  question.teeth = {tooth};
  question.truth_words = std::to_string(tooth) + ", the " + tooth_name(tooth);
  question.source = "ISO 3950:2016";
  question.construct = {{"point", {*middle}, std::to_string(tooth)}};
  return question;
}

Asked ask_landmark(Asking& a) {
  // The harder, the farther down the list.
  const std::uint32_t most = a.spec.difficulty <= 2 ? 2 : a.spec.difficulty <= 4 ? 6 : 11;
  const int tooth = drawn_tooth(a.random);
  const std::string name = std::to_string(tooth) + "." + kAsked[a.random.below(most)];
  const auto found = a.reading.points().find(name);
  if (found == a.reading.points().end()) return std::nullopt;
  const std::string hint = landmark_hint(name);
  PracticeQuestion question =
      question_for(a, AnswerForm::point, "Put the point on " + name.substr(0, 2) + ": the " + hint + ".");
  question.landmark = name;
  question.at = found->second;
  question.unit = "mm";
  question.uncertainty = a.reading.input().settings.landmark_sd_mm;
  question.right_within = a.spec.difficulty <= 3 ? 1.0 : 0.7;
  question.near_within = 2 * question.right_within;
  question.truth_words = "the " + hint + " (" + name.substr(0, 2) + ")";
  question.source = "names of the parts of a tooth: textbook, from memory";
  question.construct = {{"point", {found->second}, name}};
  return question;
}

}  // namespace intercusp
