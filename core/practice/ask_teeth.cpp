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

/// A place on the crown that is seen from where one looks at the tooth.
std::string seen_point(int tooth) {
  return std::to_string(tooth) + (is_molar(tooth)      ? ".mesiobuccal_cusp"
                                  : is_premolar(tooth) ? ".buccal_cusp"
                                  : is_canine(tooth)   ? ".cusp_tip"
                                                       : ".labial_mid");
}

const char* const kAsked[] = {"cusp_tip",          "mesiobuccal_cusp",  "buccal_groove",     "buccal_cusp",
                              "incisal_edge_mid",  "distobuccal_cusp",  "mesiopalatal_cusp", "distal_cusp",
                              "mesiolingual_cusp", "distolingual_cusp", "distopalatal_cusp"};

}  // namespace

Asked ask_notation(Asking& a) {
  const int tooth = drawn_tooth(a.random);
  const auto found = a.reading.points().find(seen_point(tooth));
  if (found == a.reading.points().end()) return std::nullopt;
  Question question;
  question.spec = a.spec;
  question.form = AnswerForm::tooth;
  question.prompt = "Which tooth is marked? Give its two-digit number.";
  question.marked = found->second;
  question.teeth = {tooth};
  question.truth_words = std::to_string(tooth) + ", the " + tooth_name(tooth);
  question.definition =
      "The first digit is the quadrant (1 upper right, 2 upper left, 3 lower left, 4 lower right, the patient's "
      "sides), the "
      "second the tooth, counted from the midline.";
  question.source = "ISO 3950:2016";
  question.construct = {{"point", {found->second}, std::to_string(tooth)}};
  return question;
}

Asked ask_landmark(Asking& a) {
  // The harder, the farther down the list.
  const std::uint32_t most = a.spec.difficulty <= 2 ? 2 : a.spec.difficulty <= 4 ? 6 : 11;
  const int tooth = drawn_tooth(a.random);
  const std::string name = std::to_string(tooth) + "." + kAsked[a.random.below(most)];
  const auto found = a.reading.points().find(name);
  if (found == a.reading.points().end()) return std::nullopt;
  Question question;
  question.spec = a.spec;
  question.form = AnswerForm::point;
  question.landmark = name;
  const std::string hint = landmark_hint(name);
  question.prompt = "Put the point on " + name.substr(0, 2) + ": the " + hint + ".";
  question.at = found->second;
  question.unit = "mm";
  question.uncertainty = a.reading.input().settings.landmark_sd_mm;
  question.right_within = a.spec.difficulty <= 3 ? 1.0 : 0.7;
  question.near_within = 2 * question.right_within;
  question.truth_words = name;
  question.definition = "The " + hint + ".";
  question.source = "the landmark as docs/methods.md uses it";
  question.construct = {{"point", {found->second}, name}};
  return question;
}

}  // namespace intercusp
