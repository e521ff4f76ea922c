// What students send back, and how a class's results are read and gathered.
#include <doctest/doctest.h>

#include "base/base64.h"
#include "base/fingerprint.h"
#include "practice/gathering.h"
#include "practice/result_lines.h"
#include "practice/set_link.h"

using namespace intercusp;

namespace {

std::string set_of(unsigned seed) {
  QuestionSet set;
  set.title = "Tuesday, group B";
  set.seed = seed;
  set.count = 2;
  set.kinds = {QuestionKind::molar_relation};
  return set_code(set);
}

PracticeQuestion yes_or_no(unsigned seed) {
  PracticeQuestion q;
  q.spec.seed = seed;
  q.choices = {{"Yes", 1, 1}, {"No", 0, 0}};
  q.truth_words = "yes";
  return q;
}

SetResult answered(const std::string& by, const std::string& first, const std::string& second) {
  return {by, {{first, 12.4}, {second, 0}}, ""};
}

// This room does not check signatures: any 64 bytes stand for one.
const std::string kKey(32, 'k'), kOtherKey(32, 'o'), kSignature(64, 's');

}  // namespace

TEST_CASE("a result belongs to its set and survives no damage") {
  const std::string code = set_of(42);
  const SetResult result{"M. Example", {{"2", 12.4}, {"", 0}, {"3.5 left", 8}}, ""};
  for (const bool is_signed : {false, true}) {
    const std::string text = is_signed ? result_code(code, result, kKey, kSignature) : result_code(code, result);
    const auto read = read_result_code(code, text + "\n");
    REQUIRE(read.ok());
    CHECK(read.value().result.by == result.by);
    REQUIRE(read.value().result.answers.size() == 3);
    CHECK(read.value().result.answers[2].text == "3.5 left");
    CHECK(read.value().result.answers[0].seconds == 12);
    CHECK(read.value().result.key == (is_signed ? kKey : ""));
    CHECK(read.value().signature == (is_signed ? kSignature : ""));
    CHECK_FALSE(read_result_code(set_of(43), text).ok());
    for (std::size_t i = 0; i < text.size(); i += 3) {
      std::string bad = text;
      bad[i] = bad[i] == 'x' ? 'y' : 'x';
      CHECK_FALSE(read_result_code(code, bad).ok());
    }
  }
}

TEST_CASE("what a key signs is read back from the code byte for byte, and holds the set") {
  const std::string code = set_of(42);
  SetResult result = answered("", "1", "2");
  for (int letters = 0; letters < 40; ++letters) {
    result.by += "\xC3\xBC";  // two bytes a letter: the label is cut between letters
    const auto read = read_result_code(code, result_code(code, result, kKey, kSignature));
    REQUIRE(read.ok());
    CHECK(read.value().signed_bytes == bytes_to_sign(code, result));
    CHECK(read.value().result.by.size() == std::min<std::size_t>(result.by.size(), 60));
  }
  CHECK(bytes_to_sign(code, result) != bytes_to_sign(set_of(43), result));
  CHECK(bytes_to_sign(code, result) != bytes_to_sign(code, answered("", "1", "1")));
  CHECK(bytes_to_sign(code, result).rfind("intercusp practice 1 result", 0) == 0);
}

TEST_CASE("a result without a signature is read as before results were signed") {
  // Made by the program before: set and result as they were sent then.
  const std::string code =
      "set1-eyJjb3VudCI6MSwiZGlmZmljdWx0eSI6MiwiZyI6Mywia2luZHMiOlsibm90YXRpb24iXSwic2Vjb25kcyI6M"
      "Cwic2VlZCI6NywidGl0bGUiOiJPbGQiLCJ0b29scyI6Im1vZGVsIiwidiI6MX0.a22e8ec515";
  const std::string old = "res1-eyJhbnN3ZXJzIjpbWyIxMSIsMF1dLCJieSI6IkEuIFN0dWRlbnQifQ.e1589f27ae";
  const auto read = read_result_code(code, old);
  REQUIRE(read.ok());
  CHECK(read.value().result.by == "A. Student");
  CHECK(read.value().result.key.empty());
  CHECK(signer_words(gather({yes_or_no(1)}, {read.value().result}).results[0]) == "unsigned");
}

TEST_CASE("a code with a key or signature that is not whole is refused") {
  const std::string code = set_of(42);
  const SetResult result = answered("A", "1", "2");
  CHECK_FALSE(read_result_code(code, result_code(code, result, kKey.substr(1), kSignature)).ok());
  CHECK_FALSE(read_result_code(code, result_code(code, result, kKey, kSignature + "s")).ok());
  CHECK_FALSE(read_result_code(code, result_code(code, result, kKey, "")).ok());
}

TEST_CASE("bad lines are named with their reason and leave the others alone") {
  const std::string code = set_of(42);
  const std::string good = result_code(code, answered("A", "1", "1"), kKey, kSignature);
  const std::string second = result_code(code, answered("B", "2", "1"));
  const std::string text = "# group B\r\n" + good + "\r\nFrom: a student\nmine is " + second + ". Regards\n\n  \n" +
                           good.substr(0, good.size() / 2) + "\n" + result_code(set_of(43), answered("C", "1", "1")) +
                           "\n" + good;
  ResultLines lines = read_result_lines(code, text);
  REQUIRE(lines.results.size() == 2);
  CHECK(lines.lines == std::vector<std::size_t>{2, 4});
  CHECK(lines.results[1].result.by == "B");
  CHECK(lines.repeated == 1);
  CHECK(lines.without_code == 1);
  REQUIRE(lines.troubles.size() == 2);
  CHECK(lines.troubles[0].line == 7);
  CHECK(lines.troubles[1].line == 8);
  CHECK(trouble_words(lines.troubles[1]).find("of another set") != std::string::npos);
  refuse_signature(lines, 0);
  REQUIRE(lines.troubles.size() == 3);
  CHECK(trouble_words(lines.troubles[0]).find("line 2 (A): the signature does not fit") == 0);
  REQUIRE(lines.results.size() == 1);
  CHECK(lines.results[0].result.by == "B");
  CHECK(read_result_lines(code, "").results.empty());
  CHECK(read_result_lines(code, second + " " + good).results.size() == 2);
}

TEST_CASE("more results than anybody gathers are refused by line, not taken in silence") {
  const std::string code = set_of(42);
  std::string text;
  for (std::size_t i = 0; i < kMostResults + 2; ++i)
    text += result_code(code, answered(std::to_string(i), "1", "1")) + "\n";
  const ResultLines lines = read_result_lines(code, text);
  CHECK(lines.results.size() == kMostResults);
  REQUIRE(lines.troubles.size() == 2);
  CHECK(lines.troubles[0].line == kMostResults + 1);
}

TEST_CASE("a class's results are marked again from the answers") {
  const GatheredSet g = gather(
      {yes_or_no(1), yes_or_no(2)},
      {{"=HYPERLINK(1)", {{"1", 0}, {"2", 0}}, kKey}, {"B", {{"1", 0}, {"2", 3}}, kOtherKey}, {"C", {{"1", 0}}, kKey}});
  // Two who gave no answer to be read outweigh nobody who gave one.
  const GatheredSet lazy = gather({yes_or_no(1)}, {{"A", {{"?", 0}}, ""}, {"B", {}, ""}, {"C", {{"2", 0}}, ""}});
  CHECK(lazy.summaries[0].wrong == 3);
  CHECK(lazy.summaries[0].usual_wrong == "No");
  CHECK(gather({yes_or_no(1)}, {{"A", {{"?", 0}}, ""}}).summaries[0].usual_wrong.empty());
  CHECK(g.results[0].credit == 1);
  CHECK(g.summaries[0].right == 3);
  CHECK(g.summaries[1].wrong == 3);
  CHECK(g.summaries[1].usual_wrong == "No");
  const std::string csv = gathered_csv(g);
  CHECK(csv.find("\"'=HYPERLINK(1)\",1,molar,1,") != std::string::npos);
  CHECK(csv.find("\"not answered\",\"yes\",wrong,0,0") != std::string::npos);
  CHECK(csv.find(",0,0," + fingerprint_of(kKey) + "\n") != std::string::npos);
  CHECK(rows_of_one_hand(g) == std::vector<std::vector<std::size_t>>{{1, 3}});
  REQUIRE(one_hand_words(g).size() == 1);
  CHECK(one_hand_words(g)[0].find("rows 1 and 3 (=HYPERLINK(1), C)") == 0);
  CHECK(gathered_text(g).find("B: 1 of 2, key " + fingerprint_of(kOtherKey)) != std::string::npos);
  CHECK(one_hand_words(lazy).empty());  // unsigned results say nothing of a hand
  CHECK(gathered_csv(lazy).find(",unsigned\n") != std::string::npos);
}

TEST_CASE("a set's link says where the results go, and is read with or without its address") {
  const std::string code = set_of(42);
  const InboxAddress inbox{base64url(std::string(16, 'f')), base64url(std::string(32, 'w')),
                           base64url(std::string(65, 'p'))};
  const std::string fragment = set_fragment(code, inbox);
  for (const std::string& text : {fragment, "https://school.example/p/#" + fragment, " " + fragment + "\n"}) {
    const auto read = read_set_link(text);
    REQUIRE(read.ok());
    CHECK(read.value().code == code);
    CHECK(read.value().set.title == "Tuesday, group B");
    REQUIRE(read.value().inbox);
    CHECK(inbox_text(*read.value().inbox) == inbox_text(inbox));
  }
  CHECK(read_set_link("https://school.example/p/#" + fragment).value().server == "https://school.example/p/");
  CHECK_FALSE(read_set_link(code).value().inbox);
  CHECK(set_fragment(code, std::nullopt) == code);
  CHECK_FALSE(read_set_link("").ok());
  // A link that was cut short is refused, not opened without its inbox.
  for (std::size_t cut = 1; cut < fragment.size(); cut += 5)
    if (fragment.size() - cut != code.size())
      CHECK_FALSE(read_set_link(fragment.substr(0, fragment.size() - cut)).ok());
}
