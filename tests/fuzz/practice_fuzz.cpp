// What practice reads from outside: codes of sets and results (also with a check sum that fits), progress, answers.
#include "base/base64.h"
#include "base/sha256.h"
#include "practice/progress.h"
#include "practice/result_lines.h"
#include "practice/set_link.h"
#include "require.h"

using namespace intercusp;

namespace {

std::string sealed_body(const std::string& prefix, const std::string& text, const std::string& with) {
  const std::string body = prefix + text, whole = body + with;
  return body + "." + sha256_hex(whole.data(), whole.size()).substr(0, 10);
}

std::string sealed_code(const std::string& prefix, const std::string& document, const std::string& with) {
  return sealed_body(prefix, base64url(document), with);
}

void read_answers(const std::string& text) {
  PracticeQuestion question;
  question.positive_word = "left";
  question.negative_word = "right";
  question.choices = {{"Yes", 1, 1}, {"No", 0, 0}};
  question.teeth = {16};
  question.offered_teeth = {15, 16};
  for (int form = 0; form < 5; ++form) {
    question.form = static_cast<AnswerForm>(form);
    const auto answer = read_answer(question, text);
    if (!answer) continue;
    const double credit = mark_answer(question, answer.value()).credit;
    FUZZ_REQUIRE(credit >= 0 && credit <= 1);
  }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text(reinterpret_cast<const char*>(data), size);
  (void)read_set_code(text).ok();
  // A ticket that is read says again what it said; a graded set has its secret.
  if (const auto ticket = read_ticket_code(sealed_code("ticket1-", text, "")))
    FUZZ_REQUIRE(read_ticket_code(ticket_code(ticket.value())).ok());
  if (const auto graded = read_set_code(sealed_code("gset1-", text, "")))
    FUZZ_REQUIRE(is_graded(graded.value()) && !questions_of(graded.value()).empty());
  const auto set = read_set_code(sealed_code("set1-", text, ""));
  if (set) FUZZ_REQUIRE(!questions_of(set.value()).empty());
  if (const auto link = read_set_link(text); link && link.value().inbox)
    FUZZ_REQUIRE(read_inbox(inbox_text(*link.value().inbox)).has_value());
  (void)read_inbox(text).has_value();
  (void)read_result_code("set", sealed_code("res1-", text, "set")).ok();
  // A result that is read says again what it said, and its key and signature have their sizes.
  const std::string with_key = sealed_body("res2-", text, "set");
  if (const auto read = read_result_code("set", with_key)) {
    FUZZ_REQUIRE(read.value().result.key.size() == 32 && read.value().signature.size() == 64);
    FUZZ_REQUIRE(read.value().result.answers.size() <= static_cast<std::size_t>(kMostQuestions));
  }
  const ResultLines lines = read_result_lines("set", text + "\n" + with_key);
  FUZZ_REQUIRE(lines.results.size() == lines.lines.size());
  (void)PracticeProgress::from_json_text(text).ok();
  read_answers(text);
  return 0;
}
