#include "practice/bite_reading.h"

#include <cmath>

namespace intercusp {

BiteReading::BiteReading(const SampleJaws& jaws) : jaws_(jaws) {
  for (const auto& [name, mark] : jaws.landmarks) input_.points[name] = mark.at;
  const auto frame = maxillary_occlusal_frame(input_.points);
  if (frame) input_.frame = frame.value();
}

std::optional<MeasureValue> BiteReading::of(const std::string& id) {
  const MeasureDefinition* definition = find_measure(id);
  if (!definition || !definition->missing(input_).empty()) {
    if (fault_.empty()) fault_ = id + " cannot be measured";
    return std::nullopt;
  }
  MeasureValue value = definition->measure(input_);
  const auto truth = jaws_.truth.find(id);
  const auto relation = jaws_.truth_class.find(id);
  const auto quarters = jaws_.truth.find(id + "_quarters");
  const bool off = (truth != jaws_.truth.end() && std::abs(truth->second - value.value) > kAgree) ||
                   (relation != jaws_.truth_class.end() && relation->second != value.relation) ||
                   (quarters != jaws_.truth.end() && std::lround(quarters->second) != value.quarters);
  if (!off) return value;
  if (fault_.empty()) fault_ = id + " is not what the jaws were built to";
  return std::nullopt;
}

void explain_by(PracticeQuestion& question, const std::string& measure, const MeasureValue& value) {
  const MeasureDefinition* definition = find_measure(measure);
  question.measure = measure;
  question.construct = value.construct;
  question.source = definition->source;
  question.truth_words = in_words(*definition, value);
  question.uncertainty = value.uncertainty;
}

}  // namespace intercusp
