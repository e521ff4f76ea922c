// A question of a graded set as it comes from a server: its text and the case behind it.
#include "practice/shown_question.h"
#include "require.h"

using namespace intercusp;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto read = read_shown_question(data, size);
  if (!read) return 0;
  const PracticeQuestion& question = read.value().question;
  FUZZ_REQUIRE(!question.prompt.empty());
  FUZZ_REQUIRE(question.form != AnswerForm::choice || !question.choices.empty());
  for (const Choice& choice : question.choices) FUZZ_REQUIRE(choice.credit == 0);
  return 0;
}
