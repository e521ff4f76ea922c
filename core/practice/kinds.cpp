#include "practice/kinds.h"

#include <cmath>

namespace intercusp {

const std::vector<KindInfo>& question_kinds() {
  using Kind = QuestionKind;
  using Form = AnswerForm;
  static const std::vector<KindInfo> kinds{
      {Kind::molar_relation, "molar", "Molar relation", Form::choice},
      {Kind::canine_relation, "canine", "Canine relation", Form::choice},
      {Kind::angle_class, "class", "Class of the bite", Form::choice},
      {Kind::division, "division", "Division of Class II", Form::choice},
      {Kind::subdivision, "subdivision", "Subdivision", Form::choice},
      {Kind::overjet, "overjet", "Overjet", Form::number},
      {Kind::overbite, "overbite", "Overbite", Form::number},
      {Kind::open_bite, "open_bite", "Open bite", Form::choice},
      {Kind::crossbite, "crossbite", "Crossbite", Form::teeth},
      {Kind::midline, "midline", "Midlines", Form::number},
      {Kind::crowding, "crowding", "Crowding", Form::number},
      {Kind::tooth_size, "tooth_size", "Tooth sizes", Form::choice},
      {Kind::curve_of_spee, "spee", "Curve of Spee", Form::number},
      {Kind::skeletal, "skeletal", "Skeletal pattern", Form::choice},
      {Kind::notation, "notation", "Tooth numbers", Form::tooth},
      {Kind::landmark, "landmark", "Landmarks", Form::point},
      {Kind::correction, "correction", "Movement that corrects", Form::choice},
      {Kind::interference, "interference", "What will be in the way", Form::choice},
      {Kind::sheet, "sheet", "Reading a movement sheet", Form::number},
  };
  return kinds;
}

const KindInfo& info_of(QuestionKind kind) {
  return question_kinds()[static_cast<std::size_t>(kind)];
}

bool is_known_version(double number) {
  return number >= 1 && number <= kPracticeVersion && std::floor(number) == number;
}

std::optional<QuestionKind> kind_of(const std::string& id) {
  for (const KindInfo& info : question_kinds())
    if (id == info.id) return info.kind;
  return std::nullopt;
}

const char* answer_form_id(AnswerForm form) {
  static constexpr const char* ids[kAnswerForms] = {"choice", "number", "tooth", "teeth", "point"};
  return ids[static_cast<std::size_t>(form)];
}

}  // namespace intercusp
