#include "app/work/graded_questions.h"

#include <nlohmann/json.hpp>

#include "base/json_read.h"

namespace intercusp {

namespace {

const char* const kGradedKey = "graded_answers";

nlohmann::json kept_graded(Workspace& w) {
  const std::string text = w.host.setting(kGradedKey);
  const auto kept = parse_json(text.data(), text.size());
  return kept ? kept.value() : nlohmann::json();
}

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

void keep_graded_answers(Workspace& w) {
  const PracticeState& p = *w.practice;
  nlohmann::json answers = nlohmann::json::array();
  for (const GivenAnswer& given : p.given) answers.push_back({given.text, given.seconds});
  const nlohmann::json kept = {
      {"name", p.ticket->name}, {"link", p.server + "#" + set_fragment(p.code, p.inbox)}, {"answers", answers}};
  w.host.keep_setting(kGradedKey, kept.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace));
}

std::vector<GivenAnswer> kept_graded_answers(Workspace& w, const GradedTicket& ticket) {
  const nlohmann::json kept = kept_graded(w);
  std::vector<GivenAnswer> given;
  const nlohmann::json* answers = member(kept, "answers");
  if (text_at(kept, "name") != ticket.name || !answers || !answers->is_array()) return given;
  for (const nlohmann::json& one : *answers)
    if (one.is_array() && one.size() == 2 && one[0].is_string() && one[1].is_number())
      given.push_back({one[0].get<std::string>(), one[1].get<double>()});
  if (given.size() > static_cast<std::size_t>(ticket.count)) given.clear();
  return given;
}

std::string graded_set_to_continue(Workspace& w) {
  return text_at(kept_graded(w), "link").value_or("");
}

void forget_graded_answers(Workspace& w) {
  w.host.keep_setting(kGradedKey, "");
}

}  // namespace intercusp
