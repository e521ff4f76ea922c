// What practice reads from outside: codes of sets and results (also with a check sum that fits), progress, answers.
#include "base/base64.h"
#include "base/sha256.h"
#include "practice/progress.h"
#include "practice/question_set.h"
#include "require.h"

using namespace intercusp;

namespace {

std::string sealed_code(const std::string& prefix, const std::string& document, const std::string& with) {
  const std::string body = prefix + base64url(document), whole = body + with;
  return body + "." + sha256_hex(whole.data(), whole.size()).substr(0, 10);
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
  const auto set = read_set_code(sealed_code("set1-", text, ""));
  if (set) FUZZ_REQUIRE(!questions_of(set.value()).empty());
  (void)read_result_code("set", sealed_code("res1-", text, "set")).ok();
  (void)PracticeProgress::from_json_text(text).ok();
  read_answers(text);
  return 0;
}
