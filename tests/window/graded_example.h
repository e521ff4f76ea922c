// A graded set of two questions, invented, and a host that answers for its server.
#pragma once

#include "base/base64.h"
#include "practice/set_link.h"
#include "practice/shown_question.h"
#include "stage.h"

namespace intercusp::window {

inline QuestionSet graded_pair() {
  QuestionSet set;
  set.title = "Term test";
  set.count = 2;
  set.kinds = {QuestionKind::molar_relation, QuestionKind::overjet};
  set.difficulty = 3;
  set.secret = std::string(32, 's');
  return set;
}

inline std::string graded_link() {
  return ticket_code(ticket_of(graded_pair(), base64url("sealed")));
}

/// The request for a question that was asked last, at least as late as number `from` of all.
inline nlohmann::json asked_question(Stage& stage) {
  const auto& all = stage.host().practice_asked;
  for (std::size_t i = all.size(); i-- > 0;)
    if (all[i]["ask"] == "question") return all[i];
  return nullptr;
}

inline nlohmann::json answer_with(const nlohmann::json& asked) {
  const int at = asked["at"];
  const auto made = make_question(questions_of(graded_pair())[static_cast<std::size_t>(at)]);
  auto bytes = write_shown_question(made.value(), at, 20000);
  return {
      {"event", "question"}, {"number", asked["number"]}, {"bytes", nlohmann::json::binary(std::move(bytes).value())}};
}

/// The host answers what was asked of it.
inline void let_question_come(Stage& stage) {
  stage.app().practice_event(answer_with(asked_question(stage)));
  stage.frames(20);
}

/// The set on screen, its first question there; `answered` takes both to the end.
inline void show_graded(Stage& stage, bool answered) {
  stage.act("practice", {{"set", graded_link()}});
  let_question_come(stage);
  if (!answered) return;
  stage.act("practice_answer", {{"text", "1"}});
  let_question_come(stage);
  stage.act("practice_answer", {{"text", "3 forward"}});
  stage.frames(3);
}

}  // namespace intercusp::window
