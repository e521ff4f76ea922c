#pragma once

#include <optional>
#include <string>
#include <vector>

#include "anatomy/sample_jaws.h"
#include "base/packing.h"
#include "base/result.h"
#include "casebook/case.h"
#include "practice/kinds.h"

namespace intercusp {

/// A choice and what it is worth.
struct Choice {
  std::string words;
  double credit = 0;          ///< 0..1: 1 right, 0.5 near
  double probability = 0;     ///< that it is the truth, given the uncertainty of the reading; 0 where there is none
  std::string leads_to = {};  ///< what would come of it, said with the mark; may be empty
};

/// A question with its key. Lengths mm, points in the patient frame at rest.
struct PracticeQuestion {
  QuestionSpec spec;
  AnswerForm form = AnswerForm::choice;
  std::string prompt;
  std::string sheet;  ///< text to read with it; may be empty
  std::vector<Choice> choices;

  double value = 0, uncertainty = 0;           ///< number: the truth and one standard deviation of its reading
  double right_within = 0.5, near_within = 1;  ///< number and point: how far off still counts
  std::string unit;                            ///< "mm"
  std::string positive_word, negative_word;    ///< number: what each direction is called; empty: no direction
  std::vector<int> teeth;                      ///< tooth and teeth: the truth, ISO numbers, ascending
  std::vector<int> doubtful_teeth;             ///< teeth: count neither way, too near the border
  std::vector<int> offered_teeth;              ///< teeth: what can be named
  Vec3 at = Vec3::Zero();                      ///< point: the truth
  std::string landmark;                        ///< point: its name; it is taken out of the case
  std::optional<Vec3> marked;                  ///< a place drawn on the model with the question

  std::string measure;      ///< row of the measure table that shows the construct; may be empty
  std::string truth_words;  ///< "half a unit Class II, 2.81 mm"
  std::string definition, source;
  std::string note;          ///< what makes this case easily mistaken; may be empty
  bool two_answers = false;  ///< two choices are defensible, and both count as right
  std::vector<Construct> construct;
};

/// A question and the jaws it is asked about.
struct MadeQuestion {
  PracticeQuestion question;
  SampleJaws jaws;                 ///< landmarks and recipe alone, without bodies
  std::optional<PlanEntry> moved;  ///< what the question moves; to be shown with the answer
};

/// Makes the question of a spec: draws a recipe from the seed, takes the truth from the generator and holds it against
/// the measure table. Deterministic. Draws again where two answers would be defensible, unless the difficulty is 6 or
/// more: then the question says so. Some 0.3 s; those on interference and skeletal pattern 1 s. Error when the spec is
/// out of range, or when generator and table disagree (a fault of the program).
Result<MadeQuestion> make_question(const QuestionSpec& spec);

/// The case to look at: surfaces of about `triangles` an arch, without the landmark that is asked for, with
/// what the question moves as plan A. 0.5 s and more.
Result<Case> case_of(const MadeQuestion& made, std::uint32_t triangles);

template <class A>
void exchange(A& archive, Choice& c) {
  exchange_all(archive, c.words, c.credit, c.probability, c.leads_to);
}
template <class A>
void exchange(A& archive, PracticeQuestion& q) {
  exchange_all(archive, q.spec, q.form, q.prompt, q.sheet, q.choices, q.value, q.uncertainty, q.right_within,
               q.near_within, q.unit, q.positive_word, q.negative_word, q.teeth, q.doubtful_teeth, q.offered_teeth,
               q.at, q.landmark, q.marked, q.measure, q.truth_words, q.definition, q.source, q.note, q.two_answers);
  std::uint64_t count = q.construct.size();
  exchange_all(archive, count);
  if constexpr (A::reads) q.construct.resize(archive.at_most(static_cast<std::size_t>(count), 1));
  for (Construct& c : q.construct) exchange_all(archive, c.kind, c.points, c.label);
}

}  // namespace intercusp
