// The bite of generated jaws as the measure table reads it, held against the generator's own truth.
#pragma once

#include <optional>
#include <string>

#include "occlusion/measure.h"
#include "practice/question.h"

namespace intercusp {

class BiteReading {
 public:
  explicit BiteReading(const SampleJaws& jaws);

  /// Reads a measure. Nothing where it cannot be measured or differs from the generator's truth, where there is one, by
  /// more than kAgree: then `fault` says so.
  std::optional<MeasureValue> of(const std::string& id);
  /// The first disagreement, in words; empty when there is none.
  const std::string& fault() const { return fault_; }
  const MeasureInput& input() const { return input_; }
  const PointMap& points() const { return input_.points; }

  static constexpr double kAgree = 1e-6;  ///< mm (or %)

 private:
  const SampleJaws& jaws_;
  MeasureInput input_;
  std::string fault_;
};

/// Fills in what a measure says of itself: construct, source, the truth in words.
void explain_by(PracticeQuestion& question, const std::string& measure, const MeasureValue& value);

/// Two answers count where each is at least this likely to be the truth.
constexpr double kDefensible = 0.35;

}  // namespace intercusp
