// The teacher's page by hand: a set is made, results are marked with their signatures checked, and what is wrong with
// some leaves the others alone. Then the student's side: signing and sending.
#include <doctest/doctest.h>

#include <algorithm>

#include "app/errands/errand_bench.h"
#include "app/errands/errand_wire.h"
#include "base/fingerprint.h"
#include "practice/gathering.h"
#include "practice/set_link.h"
#include "stage.h"

namespace intercusp::window {

namespace {

using nlohmann::json;

const std::string kFirstKey(32, 'a'), kSecondKey(32, 'b'), kSomeSignature(64, 's');

std::string example_inbox() {
  return inbox_text(
      {base64url(std::string(16, 'f')), base64url(std::string(32, 'w')), base64url(std::string(65, 'p'))});
}

/// A set of two questions of which tooth is marked, made on the page.
std::string made_set(Stage& stage) {
  stage.act("class_page");
  return stage.act("class_make", {{"title", "Group A"}, {"seed", 7}, {"count", 2}, {"kinds", {"notation"}}})["set"];
}

std::vector<std::string> truths(const std::string& code) {
  std::vector<std::string> out;
  for (const QuestionSpec& spec : questions_of(read_set_code(code).value()))
    out.push_back(std::to_string(make_question(spec).value().question.teeth.front()));
  return out;
}

json class_results(Stage& stage) {
  stage.frames(3);
  return stage.state()["class"]["results"];
}

/// What the host was asked last, of that kind.
json asked_last(Stage& stage, const std::string& ask) {
  const auto& all = stage.host().practice_asked;
  const auto found = std::find_if(all.rbegin(), all.rend(), [&](const json& one) { return one["ask"] == ask; });
  return found == all.rend() ? json() : *found;
}

/// Answers the question about signatures: sound but for those given by index.
void answer_check(Stage& stage, const std::set<std::size_t>& bad = {}) {
  const json asked = asked_last(stage, "check");
  REQUIRE(asked.is_object());
  json sound = json::array();
  for (std::size_t i = 0; i < asked["results"].size(); ++i) sound.push_back(bad.count(i) == 0);
  stage.app().practice_event({{"event", "checked"}, {"number", asked["number"]}, {"sound", sound}});
}

}  // namespace

TEST_CASE("class: a set is put together by hand, and its link asks what was chosen") {
  Stage stage({1366, 768});
  stage.act("home");
  stage.frames(3);
  stage.click("start.class");
  stage.frames(3);
  CHECK(stage.shows("class.make"));
  CHECK_FALSE(stage.shows("bite_card"));
  stage.click("class.kinds.none");
  stage.frames(2);
  stage.click("class.make");  // no kind: nothing is made
  CHECK(stage.state()["class"]["link"] == "");
  CHECK_FALSE(stage.text_with("choose at least one kind").empty());
  stage.click("class.kind.overjet");
  stage.click("class.difficulty.3");
  stage.click("class.seconds.60");
  stage.click("class.tools.views");
  const std::string seed = stage.state()["class"]["draft"]["seed"];
  stage.click("class.fresh_seed");
  CHECK(stage.state()["class"]["draft"]["seed"] != seed);
  stage.click("class.make");
  stage.frames(3);
  const std::string link = stage.state()["class"]["link"];
  const auto read = read_set_link(link);
  REQUIRE(read.ok());
  CHECK(read.value().set.kinds == std::vector<QuestionKind>{QuestionKind::overjet});
  CHECK(read.value().set.difficulty == 3);
  CHECK(read.value().set.seconds == 60);
  CHECK(read.value().set.count == 10);
  CHECK(read.value().set.tools == PracticeTools::views);
  CHECK_FALSE(read.value().inbox);
  stage.click("class.link.copy");
  CHECK(stage.host().clipboard == link);
  stage.click("class.code.copy");
  CHECK(stage.host().clipboard == read.value().code);
  // The set is offered again on the next visit.
  CHECK(stage.host().settings["class_sets"].find(read.value().code) != std::string::npos);
  stage.click("class.tab.results");
  stage.frames(2);
  stage.click("class.earlier.0");
  stage.frames(2);
  CHECK(stage.state()["class"]["page"] == "results");
  CHECK(class_results(stage)["set"] == read.value().code);
  stage.click("class.leave");
  CHECK_FALSE(stage.state().contains("class"));
  CHECK(stage.state().contains("case"));
}

TEST_CASE("class: results are marked; an altered one and a damaged one are named by line and leave the others alone") {
  Stage stage({1366, 768});
  const std::string code = made_set(stage);
  const std::vector<std::string> right = truths(code);
  const std::string wrong = right[1] == "11" ? "21" : "11";
  const std::string first =
      result_code(code, {"A. Student", {{right[0], 65}, {right[1], 20}}, ""}, kFirstKey, kSomeSignature);
  const std::string altered =
      result_code(code, {"B. Student", {{right[0], 1}, {wrong, 1}}, ""}, kSecondKey, kSomeSignature);
  const std::string same_hand =
      result_code(code, {"C. Student", {{right[0], 0}, {wrong, 0}}, ""}, kFirstKey, kSomeSignature);
  const std::string old = result_code(code, {"D. Student", {{right[0], 0}, {"", 0}}, ""});
  const std::string text = first + "\n" + altered + "\n" + same_hand + "\n" + old + "\n" + old.substr(0, 40) + "\n";
  stage.act("class_gather", {{"set", stage.host().link_for(code)}, {"results", text}});
  json r = class_results(stage);
  CHECK(r["marking"] == true);  // the signatures are not checked yet
  CHECK_FALSE(r.contains("students"));
  answer_check(stage, {1});
  r = class_results(stage);
  REQUIRE(r["students"].size() == 3);
  CHECK(r["students"][0]["by"] == "A. Student");
  CHECK(r["students"][0]["credit"] == 2);
  CHECK(r["students"][0]["key"] == fingerprint_of(kFirstKey));
  CHECK(r["students"][2]["key"] == "unsigned");
  REQUIRE(r["troubles"].size() == 2);
  CHECK(r["troubles"][0]["line"] == 2);
  CHECK(r["troubles"][0]["words"].get<std::string>().find("altered after it was signed") != std::string::npos);
  CHECK(r["troubles"][1]["line"] == 5);
  CHECK(r["questions"][1]["usual_wrong"] == wrong);
  REQUIRE(r["one_hand"].size() == 1);
  CHECK(r["one_hand"][0].get<std::string>().find("rows 1 and 2") == 0);
  CHECK_FALSE(stage.text_with("Usual wrong answer: " + wrong).empty());
  CHECK(stage.shows("class.plot.2"));
  stage.click("class.by_student");
  stage.frames(2);
  CHECK(stage.shows("class.table"));
  CHECK_FALSE(stage.text_with("1:25 min").empty());
  CHECK_FALSE(stage.text_with(fingerprint_of(kFirstKey)).empty());
  stage.click("class.save");
  const Bytes& csv = stage.host().offered.at("practice-results.csv");
  std::vector<PracticeQuestion> questions;
  for (const QuestionSpec& spec : questions_of(read_set_code(code).value()))
    questions.push_back(make_question(spec).value().question);
  std::vector<SetResult> sound;
  for (const std::string& one : {first, same_hand, old}) sound.push_back(read_result_code(code, one).value().result);
  CHECK(std::string(csv.begin(), csv.end()) == gathered_csv(gather(questions, sound)));
}

TEST_CASE("class: where signatures cannot be checked, results count as unsigned and the page says so") {
  Stage stage({1366, 768});
  const std::string code = made_set(stage);
  const std::string one = result_code(code, {"A", {{"11", 0}, {"21", 0}}, ""}, kFirstKey, kSomeSignature);
  stage.host().has_keys = false;
  stage.act("class_gather", {{"results", {one}}});
  json r = class_results(stage);
  REQUIRE(r["students"].size() == 1);
  CHECK(r["students"][0]["key"] == "unsigned");
  CHECK_FALSE(stage.text_with("Signatures cannot be checked here").empty());
  stage.host().has_keys = true;
  stage.act("class_gather");
  CHECK(class_results(stage)["marking"] == true);
  stage.app().practice_event({{"event", "trouble"},
                              {"asked", "check"},
                              {"number", asked_last(stage, "check")["number"]},
                              {"what", "no Ed25519"}});
  CHECK(class_results(stage)["students"][0]["key"] == "unsigned");
}

TEST_CASE("class: a file of results opened or dropped goes to the page, and nothing twice") {
  Stage stage({1366, 768});
  const std::string code = made_set(stage);
  stage.act("class_leave");
  const std::string one = result_code(code, {"A", {{"11", 0}, {"21", 0}}, ""}) + "\r\n" + "Dear teacher\n";
  REQUIRE(stage.app().open_file("results.txt", {one.begin(), one.end()}).ok());
  json r = class_results(stage);
  CHECK(stage.state()["class"]["page"] == "results");
  REQUIRE(r["students"].size() == 1);
  CHECK(r["without_code"] == 1);
  const std::string more = one + result_code(code, {"B", {{"11", 0}}, ""});
  REQUIRE(stage.app().open_file("more.txt", {more.begin(), more.end()}).ok());
  r = class_results(stage);
  CHECK(r["students"].size() == 2);
  CHECK(r["repeated"] == 0);
  // What was pasted is still there when one comes back.
  stage.act("class_leave");
  stage.act("class_page", {{"page", "results"}});
  CHECK(class_results(stage)["students"].size() == 2);
}

TEST_CASE("class: an inbox is asked for, its results are fetched and marked, and it is deleted") {
  Stage stage({1366, 768});
  stage.act("class_page");
  stage.frames(2);
  stage.act("class_make", {{"inbox", true}, {"days", 7}, {"seed", 7}, {"count", 1}, {"kinds", {"notation"}}});
  const json asked = asked_last(stage, "inbox");
  REQUIRE(asked.is_object());
  CHECK(asked["days"] == 7);
  CHECK(stage.state()["class"]["link"] == "");  // it comes with the server's answer
  const std::string code = asked["set"];
  stage.app().practice_event({{"event", "inbox"}, {"set", code}, {"inbox", example_inbox()}, {"ends", 1790000000000}});
  const std::string link = stage.state()["class"]["link"];
  REQUIRE(read_set_link(link).ok());
  CHECK(inbox_text(*read_set_link(link).value().inbox) == example_inbox());
  stage.act("class_page", {{"page", "results"}});
  stage.frames(2);
  stage.click("class.fetch");
  CHECK(asked_last(stage, "fetch")["folder"] == base64url(std::string(16, 'f')));
  const std::string one = result_code(code, {"A", {{"11", 0}}, ""});
  stage.app().practice_event({{"event", "fetched"}, {"results", {one, one}}, {"left_out", {"It was altered."}}});
  json r = class_results(stage);
  CHECK(r["students"].size() == 1);
  CHECK(r["fetched"] == "2 results in the inbox, 1 new; 1 could not be opened and were left out");
  stage.click("class.delete_inbox");
  CHECK_FALSE(asked_last(stage, "delete_inbox").is_object());  // asked twice
  stage.frames(2);
  stage.click("class.delete_inbox");
  CHECK(asked_last(stage, "delete_inbox")["folder"] == base64url(std::string(16, 'f')));
  stage.app().practice_event({{"event", "inbox_deleted"}});
  stage.frames(2);
  CHECK_FALSE(stage.shows("class.fetch"));
  CHECK(class_results(stage)["set"] == code);
  CHECK(stage.state()["class"]["earlier"][0]["inbox"] == false);
}

TEST_CASE("class: a server that gives no inbox is said, and the set is not half made") {
  Stage stage({1366, 768});
  stage.act("class_page");
  stage.act("class_make", {{"inbox", true}, {"count", 1}, {"kinds", {"notation"}}});
  stage.app().practice_event({{"event", "trouble"}, {"asked", "inbox"}, {"what", "The server does not answer"}});
  stage.frames(2);
  CHECK(stage.state()["class"]["link"] == "");
  CHECK_FALSE(stage.text_with("The server does not answer").empty());
  CHECK(stage.state()["class"]["asking_inbox"] == false);
}

TEST_CASE("class: a student's result is signed, named and sent to the inbox of the link") {
  Stage stage({1366, 768});
  const std::string code = made_set(stage);
  stage.act("practice", {{"set", "http://school.example/#" + set_fragment(code, read_inbox(example_inbox()))}});
  CHECK_FALSE(stage.state().contains("class"));
  stage.frames(10);
  stage.act("practice_answer", {{"text", "11"}});
  stage.act("practice_next");
  stage.frames(10);
  stage.act("practice_answer", {{"text", "21"}});
  stage.act("practice_next");
  stage.frames(3);
  json hand_in = stage.state()["practice"]["hand_in"];
  CHECK(hand_in["signing"] == true);
  CHECK(hand_in["inbox"] == true);
  stage.click("practice.send");  // without a name nothing goes
  CHECK_FALSE(asked_last(stage, "send").is_object());
  const json early = asked_last(stage, "sign");
  stage.act("practice_result", {{"by", "A. Student"}, {"copy", true}});
  CHECK(stage.host().clipboard.empty());  // it waits for its signature
  const auto signed_event = [](const json& asked) {
    return json{{"event", "signed"},
                {"number", asked["number"]},
                {"key", base64url(kFirstKey)},
                {"signature", base64url(kSomeSignature)}};
  };
  stage.app().practice_event(signed_event(early));  // of the result before it had a name: not taken
  CHECK(stage.state()["practice"]["hand_in"]["signed"] == false);
  const json asked = asked_last(stage, "sign");
  stage.app().practice_event(signed_event(asked));
  const auto copied = read_result_code(code, stage.host().clipboard);
  REQUIRE(copied.ok());
  CHECK(copied.value().result.by == "A. Student");
  CHECK(copied.value().result.key == kFirstKey);
  CHECK(base64url(copied.value().signed_bytes) == asked["bytes"]);
  stage.frames(2);
  stage.click("practice.send");
  const json sent = asked_last(stage, "send");
  CHECK(sent["server"] == "http://school.example/");
  CHECK(sent["inbox"] == example_inbox());
  CHECK(sent["result"] == stage.host().clipboard);
  stage.app().practice_event(
      {{"event", "trouble"}, {"asked", "send"}, {"number", sent["number"]}, {"what", "The server does not answer"}});
  stage.frames(2);
  CHECK(stage.state()["practice"]["hand_in"]["sent"] == "failed");
  CHECK_FALSE(stage.text_with("pass it on by hand").empty());
  stage.click("practice.send");
  stage.app().practice_event({{"event", "sent"}, {"number", sent["number"]}});
  CHECK(stage.state()["practice"]["hand_in"]["sent"] == "yes");
  stage.frames(2);
  stage.click("practice.result_file");
  CHECK(stage.host().offered.count("practice-result.txt") == 1);
}

TEST_CASE("class: a question asked on the other side without its case is the question made here") {
  SurfaceLedger here(1), there(2);
  Errand errand = AskQuestion{{QuestionKind::overjet, 4, 3}};
  const auto packed = pack_errand(errand, here);
  auto arrived = unpack_errand(packed.data(), packed.size(), there);
  REQUIRE(arrived);
  ErrandAnswer answer = ErrandBench().run(*arrived, Progress());
  const auto back = pack_answer(answer, there);
  const auto got = unpack_answer(back.data(), back.size(), here);
  REQUIRE(got);
  const auto* asked = std::get_if<QuestionAsked>(&*got);
  REQUIRE(asked);
  const PracticeQuestion own = make_question({QuestionKind::overjet, 4, 3}).value().question;
  CHECK(asked->question.value == own.value);
  CHECK(asked->question.truth_words == own.truth_words);
}

}  // namespace intercusp::window
