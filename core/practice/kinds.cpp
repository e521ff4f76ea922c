#include "practice/kinds.h"

namespace intercusp {

const std::vector<KindInfo>& question_kinds() {
  using K = QuestionKind;
  using F = AnswerForm;
  static const std::vector<KindInfo> kinds{
      {K::molar_relation, "molar", "Molar relation", F::choice},
      {K::canine_relation, "canine", "Canine relation", F::choice},
      {K::angle_class, "class", "Class of the bite", F::choice},
      {K::division, "division", "Division of Class II", F::choice},
      {K::subdivision, "subdivision", "Subdivision", F::choice},
      {K::overjet, "overjet", "Overjet", F::number},
      {K::overbite, "overbite", "Overbite", F::number},
      {K::open_bite, "open_bite", "Open bite", F::choice},
      {K::crossbite, "crossbite", "Crossbite", F::teeth},
      {K::midline, "midline", "Midlines", F::number},
      {K::crowding, "crowding", "Crowding", F::number},
      {K::tooth_size, "tooth_size", "Tooth sizes", F::choice},
      {K::curve_of_spee, "spee", "Curve of Spee", F::number},
      {K::skeletal, "skeletal", "Skeletal pattern", F::choice},
      {K::notation, "notation", "Tooth numbers", F::tooth},
      {K::landmark, "landmark", "Landmarks", F::point},
      {K::correction, "correction", "Movement that corrects", F::choice},
      {K::interference, "interference", "What will be in the way", F::choice},
      {K::sheet, "sheet", "Reading a movement sheet", F::number},
  };
  return kinds;
}

const KindInfo& info_of(QuestionKind kind) {
  return question_kinds()[static_cast<std::size_t>(kind)];
}

std::optional<QuestionKind> kind_of(const std::string& id) {
  for (const KindInfo& info : question_kinds())
    if (id == info.id) return info.kind;
  return std::nullopt;
}

}  // namespace intercusp
