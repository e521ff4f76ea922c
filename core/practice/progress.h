// What a student has answered so far: levels, what comes back, how estimates are off. Kept as a file or in the browser.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "base/result.h"
#include "practice/ability.h"
#include "practice/marking.h"

namespace intercusp {

/// One answer given.
struct AnswerRecord {
  QuestionSpec spec;
  double credit = 0;
  double guess = 0;           ///< chance of a lucky guess
  std::optional<double> off;  ///< number: answer minus truth, mm
  long day = 0;               ///< days since 1970-01-01

  bool operator==(const AnswerRecord& o) const {
    return spec == o.spec && credit == o.credit && guess == o.guess && off == o.off && day == o.day;
  }
};

/// A question that comes back.
struct DueQuestion {
  QuestionSpec spec;
  int box = 0;   ///< how often it was answered rightly in a row since it was missed
  long day = 0;  ///< from when on it is asked
};

/// How estimates of one kind are off.
struct Calibration {
  std::size_t count = 0;
  double bias = 0;    ///< mean of answer minus truth, mm
  double spread = 0;  ///< standard deviation, mm; 0 below two answers
};

class PracticeProgress {
 public:
  /// Takes a marked answer in: level, spaced return (after 1, 3, 7, 21 days; then it is known), calibration.
  void take(const PracticeQuestion& question, const Mark& mark, long day);

  /// The belief about a skill after its last answer; with `today` (days since 1970-01-01) also widened by the pause
  /// since then, as a next answer would find it.
  Ability ability(QuestionKind kind, std::optional<long> today = std::nullopt) const;
  Calibration calibration(QuestionKind kind) const;
  /// Off by how much, newest last; for a plot.
  std::vector<double> offs(QuestionKind kind) const;

  /// What to ask next of these kinds on `day`: what is due, else of the kinds asked least often that day the one with
  /// the least certain level, pauses until then taken in, as hard as fits. `fresh` is the seed of a new question.
  QuestionSpec next(const std::vector<QuestionKind>& kinds, long day, unsigned fresh) const;

  /// Takes in what was answered elsewhere: a longer record of the same answers is taken whole; of records that went
  /// apart the answers since then are put in the order of their days, and what comes back in either comes back.
  void join(const PracticeProgress& other);

  const std::vector<AnswerRecord>& answers() const { return answers_; }
  const std::vector<DueQuestion>& due() const { return due_; }

  /// What is kept, and all that from_json_text reads.
  nlohmann::json to_json() const;
  /// The same with what follows from it for each skill: {"answers", "level_logits", "sd_logits", "next_difficulty",
  /// "bias_mm", "spread_mm"}, for whoever reads the file. Works through all answers for each kind: not for every
  /// answer.
  nlohmann::json to_json_with_skills() const;
  /// Error when the text is not a progress file of this or an earlier version. Unknown kinds are left out.
  static Result<PracticeProgress> from_json_text(const std::string& text);

 private:
  std::vector<AnswerRecord> answers_;
  std::vector<DueQuestion> due_;
};

/// Whether a JSON text is a progress file, of any version.
bool is_progress_text(const std::string& text);

/// How the readings of a kind are off: "0.6 mm too deep on the mean, spread 0.9 mm". Empty for fewer than two, and for
/// kinds whose numbers are no reading of one quantity.
std::string calibration_words(QuestionKind kind, const Calibration& c);

/// Levels, share of credit and calibration of the answers from number `from` on, as text for a person.
std::string session_report(const PracticeProgress& progress, std::size_t from);

/// The chance of a lucky guess at a question.
double guess_chance(const PracticeQuestion& question);

/// "level 4"; "about level 4" while few answers were given.
std::string level_words(const Ability& ability);

}  // namespace intercusp
