#include "app/work/graded_questions.h"

#include <nlohmann/json.hpp>

#include "base/json_read.h"

namespace intercusp {

namespace {

QuestionSpec numbered(std::uint64_t number) {
  return {QuestionKind::molar_relation, number, kEasiest};
}

void did_not_come(Workspace& w, std::uint64_t number, const std::string& what) {
  ErrandAnswer answer = Error{what, "the question", "try again; your answers so far are kept"};
  if (const Status taken = take_question_made(w, numbered(number), answer); !taken)
    w.say_error(taken.error(), "the answers so far are kept");
}

}  // namespace

Status ask_for_graded_question(Workspace& w, const QuestionSpec& spec) {
  static int numbers = 0;
  PracticeState& p = *w.practice;
  const int number = ++numbers;
  const bool can = w.host.practice({{"ask", "question"},
                                    {"number", number},
                                    {"server", p.server},
                                    {"sealed", p.ticket->sealed},
                                    {"at", spec.seed - 1}});
  if (!can) {
    p.waiting = false;
    p.trouble = "A graded set needs its server, and there is no way to one here.";
    return Error{"a graded set needs its server", "", "open its link in a browser, or in the program"};
  }
  p.asked_of_server[number] = spec.seed;
  return Done{};
}

bool take_graded_event(Workspace& w, const std::string& kind, const nlohmann::json& event) {
  const bool of_trouble = kind == "trouble" && text_at(event, "asked") == "question";
  if (kind != "question" && !of_trouble) return false;
  if (!w.practice) return true;
  auto& asked = w.practice->asked_of_server;
  const auto found = asked.find(static_cast<int>(number_at(event, "number").value_or(0)));
  if (found == asked.end()) return true;  // of a set that was left
  const std::uint64_t number = found->second;
  asked.erase(found);
  const auto bytes = event.find("bytes");
  if (of_trouble || bytes == event.end() || !bytes->is_binary()) {
    did_not_come(w, number, text_at(event, "what").value_or("nothing came"));
    return true;
  }
  const std::string words = w.practice->waiting ? "Opening the question" : "";
  const Status begun = w.errands.go(ReadShownQuestion{bytes->get_binary()}, words, [&w, number](ErrandAnswer& answer) {
    return take_question_made(w, numbered(number), answer);
  });
  if (!begun) did_not_come(w, number, begun.error().what);
  return true;
}

}  // namespace intercusp
