// A class that answered a set, invented: for pictures and for what has room on the screen.
#pragma once

#include <string>

#include "practice/question.h"
#include "practice/set_link.h"
#include "practice/set_result.h"
#include "stage.h"

namespace intercusp::window {

/// The right answer as text.
inline std::string right_answer(const PracticeQuestion& q) {
  if (q.form == AnswerForm::choice) {
    for (std::size_t i = 0; i < q.choices.size(); ++i)
      if (q.choices[i].credit == 1) return std::to_string(i + 1);
  }
  PracticeAnswer answer;
  answer.number = q.value;
  answer.teeth = q.teeth;
  return answer_text(q, answer);
}

/// Results of nine students, of whom two share a key, one altered and one without a signature, and a torn code.
inline std::string example_results(const std::string& code) {
  std::vector<PracticeQuestion> questions;
  for (const QuestionSpec& spec : questions_of(read_set_code(code).value()))
    questions.push_back(make_question(spec).value().question);
  const char* const kNames[] = {
      "Aylin D.", "Bruno", "Chiara M.", "Dev", "Elif K.", "Farid", "Greta from the evening course", "Hiro", "Ines"};
  std::string text;
  for (std::size_t s = 0; s < 9; ++s) {
    SetResult result{kNames[s], {}, ""};
    for (std::size_t i = 0; i < questions.size(); ++i) {
      const bool right = (s * 7 + i * 3) % 5 != 0 && !(i == 3 && s > 2);
      const std::string other = questions[i].form == AnswerForm::choice ? std::to_string(1 + (i + s) % 2) : "3";
      result.answers.push_back(
          {right ? right_answer(questions[i]) : other, 20.0 + 7 * static_cast<double>((s + i) % 6)});
    }
    const std::string key(32, static_cast<char>(s == 5 ? 'a' + 1 : 'a' + s));
    text += (s == 6 ? result_code(code, result) : result_code(code, result, key, std::string(64, 's'))) + "\n";
  }
  return text + text.substr(0, 60) + "\n";
}

/// Makes a set on the page and marks the class; the altered result is the eighth.
inline void show_class(Stage& s, int count) {
  s.act("class_page");
  const std::string code = s.act("class_make", {{"title", "Tuesday, group B"}, {"seed", 7}, {"count", count}})["set"];
  s.act("class_gather", {{"set", code}, {"results", example_results(code)}});
  nlohmann::json sound = nlohmann::json::array();
  const nlohmann::json asked = s.host().practice_asked.back();
  for (std::size_t i = 0; i < asked["results"].size(); ++i) sound.push_back(i != 6);
  s.app().practice_event({{"event", "checked"}, {"number", asked["number"]}, {"sound", sound}});
  s.frames(3);
}

/// A finished set whose result is signed and can be sent.
inline void show_hand_in(Stage& s) {
  s.act("class_page");
  const std::string code = s.act("class_make", {{"seed", 7}, {"count", 1}, {"kinds", {"notation"}}})["set"];
  const InboxAddress inbox{base64url(std::string(16, 'f')), base64url(std::string(32, 'w')),
                           base64url(std::string(65, 'p'))};
  s.act("practice", {{"set", set_fragment(code, inbox)}});
  s.frames(10);
  s.act("practice_answer", {{"text", "11"}});
  s.act("practice_next");
  s.act("practice_result", {{"by", "Aylin D."}});
  const nlohmann::json asked = s.host().practice_asked.back();
  s.app().practice_event({{"event", "signed"},
                          {"number", asked["number"]},
                          {"key", base64url(std::string(32, 'a'))},
                          {"signature", base64url(std::string(64, 's'))}});
  s.frames(3);
}

}  // namespace intercusp::window
