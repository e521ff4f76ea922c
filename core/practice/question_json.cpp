#include "practice/question_json.h"

#include <nlohmann/json.hpp>

namespace intercusp {

using nlohmann::json;

namespace {

json point_json(const Vec3& p) {
  return {p.x(), p.y(), p.z()};
}

}  // namespace

json question_json(const PracticeQuestion& question) {
  json j = {{"kind", info_of(question.spec.kind).id},
            {"skill", info_of(question.spec.kind).skill},
            {"seed", question.spec.seed},
            {"difficulty", question.spec.difficulty},
            {"version", question.spec.version},
            {"prompt", question.prompt},
            {"form", answer_form_id(question.form)},
            {"how", how_to_answer(question)}};
  if (!question.sheet.empty()) j["sheet"] = question.sheet;
  for (const Choice& choice : question.choices) j["choices"].push_back(choice.words);
  if (question.form == AnswerForm::number) j["ways"] = {question.positive_word, question.negative_word};
  if (!question.offered_teeth.empty()) j["offered"] = question.offered_teeth;
  if (!question.landmark.empty()) j["landmark"] = question.landmark;
  if (question.marked) j["marked"] = point_json(*question.marked);
  return j;
}

json key_json(const PracticeQuestion& question) {
  json j = {{"truth", question.truth_words},
            {"definition", question.definition},
            {"source", question.source},
            {"two_answers", question.two_answers}};
  if (!question.measure.empty()) j["measure"] = question.measure;
  if (!question.note.empty()) j["note"] = question.note;
  for (const Choice& choice : question.choices) {
    j["credits"].push_back(choice.credit);
    j["probabilities"].push_back(choice.probability);
  }
  if (question.form == AnswerForm::number) j["value"] = question.value, j["uncertainty"] = question.uncertainty;
  if (question.spec.kind == QuestionKind::skeletal) j["value"] = question.value;
  if (question.form == AnswerForm::number || question.form == AnswerForm::point)
    j["right_within"] = question.right_within, j["near_within"] = question.near_within;
  if (question.form == AnswerForm::teeth || question.form == AnswerForm::tooth) j["teeth"] = question.teeth;
  if (!question.doubtful_teeth.empty()) j["doubtful"] = question.doubtful_teeth;
  if (question.form == AnswerForm::point) j["at"] = point_json(question.at);
  return j;
}

json mark_json(const Mark& mark) {
  json j = {{"verdict", verdict_word(mark.verdict)},
            {"credit", mark.credit},
            {"seen", mark.seen},
            {"meant", mark.meant},
            {"why", mark.why}};
  if (mark.off) j["off"] = *mark.off;
  return j;
}

}  // namespace intercusp
