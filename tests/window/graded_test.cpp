// A graded set by hand: its questions come from the host, nothing is marked, and the answers are handed in.
#include <doctest/doctest.h>

#include "graded_example.h"
#include "practice/set_result.h"

namespace intercusp::window {

TEST_CASE("graded: the questions come from the host, are answered one after another and not marked") {
  Stage stage({1366, 768});
  stage.act("practice", {{"set", graded_link()}});
  stage.frames(3);
  CHECK(stage.state()["practice"]["waiting"] == true);
  CHECK(asked_question(stage)["sealed"] == base64url("sealed"));
  CHECK(asked_question(stage)["at"] == 0);
  let_question_come(stage);
  nlohmann::json p = stage.state()["practice"];
  REQUIRE(p.contains("question"));
  CHECK(p["graded"] == true);
  CHECK(p["question"]["kind"] == "molar");
  CHECK_FALSE(p.contains("key"));
  CHECK_FALSE(stage.state()["widgets"].contains("bite_card"));
  CHECK_FALSE(stage.text_with("In a graded set").empty());

  stage.click("practice.choice.1");
  stage.click("practice.answer");
  stage.frames(3);
  p = stage.state()["practice"];
  CHECK_FALSE(p.contains("mark"));
  CHECK(p["number"] == 2);
  CHECK(asked_question(stage)["at"] == 1);
  let_question_come(stage);
  CHECK(stage.state()["practice"]["question"]["kind"] == "overjet");
  stage.act("practice_answer", {{"text", "3 forward"}});
  stage.frames(3);
  p = stage.state()["practice"];
  CHECK(p["finished"] == true);
  CHECK(p["credit"] == 0);
  CHECK_FALSE(stage.text_with("2 of 2 answered").empty());
  CHECK_FALSE(stage.state()["widgets"].contains("practice.keep"));
  CHECK(stage.host().settings["practice_progress"].empty());

  // What is handed in is of the set's name, which the teacher's code has too, and is marked there.
  const std::string result = stage.act("practice_result", {{"by", "A. Student"}})["result"];
  const auto read = read_result_code(graded_name(graded_pair()), result);
  REQUIRE(read.ok());
  CHECK(read.value().result.answers[0].text == "1");
}

TEST_CASE("graded: a question that does not come is said, and asked for again") {
  Stage stage({1366, 768});
  stage.act("practice", {{"set", graded_link()}});
  const nlohmann::json first = asked_question(stage);
  stage.app().practice_event({{"event", "trouble"},
                              {"asked", "question"},
                              {"number", first["number"]},
                              {"what", "The server does not answer"}});
  stage.frames(3);
  CHECK(stage.state()["practice"]["waiting"] == false);
  CHECK_FALSE(stage.text_with("The server does not answer").empty());
  stage.click("practice.again_for");
  stage.frames(2);
  const nlohmann::json again = asked_question(stage);
  CHECK(again["number"] != first["number"]);
  stage.app().practice_event(answer_with(first));  // late, of a request that was given up
  stage.frames(3);
  CHECK_FALSE(stage.state()["practice"].contains("question"));
  let_question_come(stage);
  CHECK(stage.state()["practice"].contains("question"));
  // Bytes that are no question.
  stage.act("practice", {{"set", graded_link()}});
  nlohmann::json torn = answer_with(asked_question(stage));
  torn["bytes"] = nlohmann::json::binary({1, 2, 3});
  stage.app().practice_event(torn);
  stage.frames(3);
  CHECK(stage.state()["practice"]["trouble"].get<std::string>().find("cut short") != std::string::npos);
}

TEST_CASE("graded: time that is over leaves the question unanswered and brings the next") {
  Stage stage({1366, 768});
  QuestionSet timed = graded_pair();
  timed.seconds = 1;
  stage.act("practice", {{"set", ticket_code(ticket_of(timed, base64url("sealed")))}});
  let_question_come(stage);
  stage.frames(15);
  CHECK(stage.state()["practice"]["number"] == 2);
  CHECK_FALSE(stage.state()["practice"].contains("mark"));
}

TEST_CASE("graded: a teacher asks the server for such a set and gets a link and a code of its own") {
  Stage stage({1366, 768});
  stage.act("class_page");
  stage.frames(2);
  stage.click("class.graded");
  stage.act("class_make", {{"days", 7}, {"count", 2}, {"kinds", {"molar", "overjet"}}});
  const nlohmann::json asked = stage.host().practice_asked.back();
  CHECK(asked["ask"] == "graded");
  CHECK(asked["days"] == 7);
  CHECK(stage.state()["class"]["link"] == "");
  const std::string code = set_code(graded_pair());
  stage.app().practice_event({{"event", "graded"}, {"set", code}, {"ticket", graded_link()}, {"ends", 1790000000000}});
  stage.frames(2);
  CHECK(stage.state()["class"]["set"] == code);
  CHECK(stage.state()["class"]["link"].get<std::string>().find("#ticket1-") != std::string::npos);
  CHECK_FALSE(stage.text_with("give it to nobody").empty());
  CHECK(stage.state()["class"]["earlier"][0]["code"] == code);

  stage.act("class_make", {{"count", 1}});
  stage.app().practice_event({{"event", "trouble"}, {"asked", "graded"}, {"what", "The server does not answer"}});
  stage.frames(2);
  CHECK_FALSE(stage.text_with("The set was not made").empty());
  CHECK(stage.state()["class"]["link"] == "");
}

TEST_CASE("graded: answers are kept when the set is left, and it goes on where it was left until it is handed in") {
  Stage stage({1366, 768});
  show_graded(stage, false);
  stage.act("practice_answer", {{"text", "2"}});
  stage.click("practice.leave");
  stage.frames(3);
  CHECK_FALSE(stage.text_with("not handed in").empty());
  stage.act("home");
  stage.frames(3);
  stage.click("start.graded");
  stage.frames(3);
  CHECK(stage.state()["practice"]["number"] == 2);
  CHECK(asked_question(stage)["at"] == 1);
  let_question_come(stage);
  stage.act("practice_answer", {{"text", "3 forward"}});
  stage.act("practice_leave");
  // All is answered: what is left to do is to hand in, as the teacher's set asks for it.
  stage.act("practice", {{"set", graded_link()}});
  stage.frames(3);
  nlohmann::json p = stage.state()["practice"];
  CHECK(p["finished"] == true);
  const auto read = read_result_code(graded_name(graded_pair()),
                                     stage.act("practice_result", {{"by", "A"}})["result"].get<std::string>());
  REQUIRE(read.ok());
  CHECK(read.value().result.answers[0].text == "2");
  CHECK(read.value().result.answers.size() == 2);

  // Another set begins at its first question.
  QuestionSet other = graded_pair();
  other.secret[0] = 'x';
  stage.act("practice", {{"set", ticket_code(ticket_of(other, base64url("sealed")))}});
  CHECK(stage.state()["practice"]["number"] == 1);
}

}  // namespace intercusp::window
