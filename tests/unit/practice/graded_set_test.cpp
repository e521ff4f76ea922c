#include "practice/graded_set.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>
#include <tuple>

#include <nlohmann/json.hpp>

#include "base/base64.h"
#include "geometry/mesh.h"
#include "practice/gathering.h"
#include "practice/question_json.h"
#include "practice/set_link.h"
#include "practice/set_result.h"
#include "practice/shown_question.h"

using namespace intercusp;

namespace {

QuestionSet graded_example() {
  QuestionSet set;
  set.title = "Term test";
  set.count = 6;
  set.kinds = {QuestionKind::canine_relation, QuestionKind::overbite};
  set.seconds = 90;
  for (int i = 0; i < 32; ++i) set.secret += static_cast<char>(i);
  return set;
}

/// What a code holds, in clear.
std::string clear_text(const std::string& code) {
  const std::size_t dash = code.find('-'), dot = code.rfind('.');
  return from_base64url(code.substr(dash + 1, dot - dash - 1)).value_or("");
}

std::string text_of_shown(const std::vector<std::uint8_t>& bytes) {
  return std::string(bytes.begin() + 4, std::find(bytes.begin() + 4, bytes.end(), '}') + 1);
}

/// Triangles by their corners' places, whatever their order.
std::multiset<std::vector<float>> triangles_by_place(const Mesh& mesh) {
  std::multiset<std::vector<float>> all;
  for (const Triangle& t : mesh.triangles) {
    std::vector<std::vector<float>> corners;
    for (const std::uint32_t i : t)
      corners.push_back({mesh.positions[i].x(), mesh.positions[i].y(), mesh.positions[i].z()});
    std::rotate(corners.begin(), std::min_element(corners.begin(), corners.end()), corners.end());
    std::vector<float> flat;
    for (const auto& corner : corners) flat.insert(flat.end(), corner.begin(), corner.end());
    all.insert(flat);
  }
  return all;
}

}  // namespace

TEST_CASE("seeds and name of a graded set are SHA-256 of its secret") {
  // SHA-256 as in FIPS 180-4; the numbers were worked out with Python's hashlib.
  const QuestionSet set = graded_example();
  CHECK(graded_seed(set, 0) == 250728294232276ull);
  CHECK(graded_seed(set, 1) == 3838655625066348ull);
  CHECK(graded_seed(set, 7) == 1765866695582310ull);
  CHECK(graded_name(set) == "gpiRBgAUXtYVgaYGOEjJ3f5wes95Zx9SAsdHNONFrJo");
}

TEST_CASE("the questions of a graded set follow its secret alone") {
  QuestionSet set = graded_example();
  const auto specs = questions_of(set);
  REQUIRE(specs.size() == 6);
  for (const QuestionSpec& spec : specs) {
    CHECK(spec.seed >= 1);
    CHECK(spec.seed <= kMostSeed);
  }
  set.seed = 99;
  CHECK(questions_of(set) == specs);
  set.secret[31] = 'x';
  CHECK_FALSE(questions_of(set) == specs);
}

TEST_CASE("a teacher's code of a graded set is read back, and refused by whoever knows ordinary sets only") {
  const QuestionSet set = graded_example();
  const std::string code = set_code(set);
  CHECK(code.rfind("gset1-", 0) == 0);
  const auto read = read_set_code("  " + code + "\n");
  REQUIRE(read.ok());
  CHECK(read.value().secret == set.secret);
  CHECK(questions_of(read.value()) == questions_of(set));
  CHECK(set_code(read.value()) == code);
  // Without its secret, or with half of it, it is no graded set.
  QuestionSet half = set;
  half.secret.resize(16);
  CHECK_FALSE(read_set_code(set_code(half)).ok());
}

TEST_CASE("a ticket says nothing of the questions") {
  const QuestionSet set = graded_example();
  const std::string ticket = ticket_code(ticket_of(set, base64url("sealed by somebody")));
  const nlohmann::json said = nlohmann::json::parse(clear_text(ticket));
  std::set<std::string> keys;
  for (const auto& [key, value] : said.items()) keys.insert(key);
  CHECK(keys == std::set<std::string>{"v", "title", "count", "seconds", "tools", "name", "sealed"});
  CHECK(clear_text(ticket).find(base64url(set.secret)) == std::string::npos);

  const auto read = read_ticket_code(ticket);
  REQUIRE(read.ok());
  CHECK(read.value().count == 6);
  CHECK(read.value().seconds == 90);
  CHECK(read.value().title == "Term test");
  CHECK(read.value().name == graded_name(set));
  for (std::size_t cut = 0; cut < ticket.size(); cut += 7) CHECK_FALSE(read_ticket_code(ticket.substr(0, cut)).ok());
  std::string damaged = ticket;
  damaged[20] = damaged[20] == 'a' ? 'b' : 'a';
  CHECK_FALSE(read_ticket_code(damaged).ok());
}

TEST_CASE("a student's ticket and the teacher's code name the same results") {
  const QuestionSet set = graded_example();
  const std::string code = set_code(set), ticket = ticket_code(ticket_of(set, base64url("sealed")));
  const auto mine = read_set_link("https://clinic.example/#" + code),
             theirs = read_set_link("https://clinic.example/#" + ticket);
  REQUIRE(mine.ok());
  REQUIRE(theirs.ok());
  CHECK(theirs.value().ticket.has_value());
  CHECK_FALSE(mine.value().ticket.has_value());
  CHECK(theirs.value().set.kinds.empty());
  CHECK(mine.value().results_of == theirs.value().results_of);
  SetResult result;
  result.by = "A. Student";
  result.answers = {{"1", 3}};
  CHECK(read_result_code(mine.value().results_of, result_code(theirs.value().results_of, result)).ok());
  QuestionSet other = set;
  other.secret[0] = 'y';
  CHECK_FALSE(read_result_code(graded_name(other), result_code(theirs.value().results_of, result)).ok());
  for (const std::string& text : {code, ticket, "https://clinic.example/#" + ticket, std::string("set1-x")})
    CHECK(is_set_link(text));
  CHECK_FALSE(is_set_link("https://clinic.example/#review=x"));
}

TEST_CASE("a question leaves the server without anything to mark it by") {
  for (const QuestionSpec& spec :
       {QuestionSpec{QuestionKind::canine_relation, 21, 4}, QuestionSpec{QuestionKind::landmark, 4, 3},
        QuestionSpec{QuestionKind::overbite, 5, 3}, QuestionSpec{QuestionKind::interference, 1, 3}}) {
    const auto made = make_question(spec);
    REQUIRE(made.ok());
    const auto bytes = write_shown_question(made.value(), 3, 20000);
    REQUIRE(bytes.ok());
    const nlohmann::json text = nlohmann::json::parse(text_of_shown(bytes.value()));
    const nlohmann::json key = key_json(made.value().question);
    for (const char* hidden : {"seed", "truth", "credits", "probabilities", "value", "teeth", "at", "note", "measure"})
      CHECK_FALSE(text.contains(hidden));
    if (key["truth"].get<std::string>().size() > 3)
      CHECK(text["prompt"].get<std::string>().find(key["truth"].get<std::string>()) == std::string::npos);

    const auto read = read_shown_question(bytes.value().data(), bytes.value().size());
    REQUIRE(read.ok());
    const PracticeQuestion &asked = made.value().question, &shown = read.value().question;
    CHECK(shown.prompt == asked.prompt);
    CHECK(shown.form == asked.form);
    CHECK(shown.spec.seed == 4);
    CHECK(shown.unit == asked.unit);
    CHECK(shown.positive_word == asked.positive_word);
    CHECK(shown.landmark == asked.landmark);
    CHECK(shown.offered_teeth == asked.offered_teeth);
    CHECK(read.value().look_from == side_to_look_from(asked));
    REQUIRE(shown.choices.size() == asked.choices.size());
    for (std::size_t i = 0; i < shown.choices.size(); ++i) {
      CHECK(shown.choices[i].words == asked.choices[i].words);
      CHECK(shown.choices[i].credit == 0);
    }
    const Case& c = read.value().shown;
    CHECK(c.landmarks.empty());
    CHECK(c.recipe.empty());
    CHECK(c.plans.empty());
    CHECK(c.find_body("upper_arch") != nullptr);
    CHECK(c.find_body("lower_arch") != nullptr);
    for (const Body& body : c.bodies) CHECK_FALSE(holds_roots(body.name));
  }
}

TEST_CASE("surfaces alone are the same surfaces in another order") {
  const auto made = make_question({QuestionKind::canine_relation, 21, 4});
  REQUIRE(made.ok());
  const auto whole = case_of(made.value(), 20000);
  REQUIRE(whole.ok());
  const Case alone = surfaces_alone(whole.value());
  const Mesh& before = whole.value().find_body("upper_arch")->surface->mesh();
  const Mesh& after = alone.find_body("upper_arch")->surface->mesh();
  CHECK(triangles_by_place(before) == triangles_by_place(after));
  const auto place = [](const Vec3f& p) { return std::make_tuple(p.z(), p.y(), p.x()); };
  CHECK(std::is_sorted(after.positions.begin(), after.positions.end(),
                       [&](const Vec3f& a, const Vec3f& b) { return place(a) < place(b); }));
  CHECK(std::is_sorted(after.triangles.begin(), after.triangles.end()));
  CHECK_FALSE(std::is_sorted(before.triangles.begin(), before.triangles.end()));
}

TEST_CASE("what is no question is refused in words") {
  const auto made = make_question({QuestionKind::overbite, 5, 3});
  REQUIRE(made.ok());
  const auto bytes = write_shown_question(made.value(), 0, 20000);
  REQUIRE(bytes.ok());
  for (const std::size_t size :
       {std::size_t{0}, std::size_t{3}, std::size_t{4}, std::size_t{60}, bytes.value().size() / 2}) {
    const auto read = read_shown_question(bytes.value().data(), size);
    REQUIRE_FALSE(read.ok());
    CHECK_FALSE(read.error().what.empty());
  }
  const auto with_text = [&](const std::string& text) {
    std::vector<std::uint8_t> all;
    for (int k = 0; k < 4; ++k) all.push_back(static_cast<std::uint8_t>(text.size() >> (8 * k)));
    all.insert(all.end(), text.begin(), text.end());
    return read_shown_question(all.data(), all.size()).ok();
  };
  for (const char* text :
       {"{}", "[]", "{\"kind\":\"molar\",\"form\":\"choice\",\"number\":1,\"difficulty\":3,\"prompt\":\"?\"}",
        "{\"kind\":\"molar\",\"form\":\"dance\",\"number\":1,\"difficulty\":3,\"prompt\":\"?\"}",
        "{\"kind\":\"overjet\",\"form\":\"number\",\"number\":101,\"difficulty\":3,\"prompt\":\"?\"}",
        "{\"kind\":\"overjet\",\"form\":\"number\",\"number\":1,\"difficulty\":3,\"prompt\":\"?\",\"marked\":[1,2]}"})
    CHECK_FALSE(with_text(text));
}

TEST_CASE("a question for which the usual draws give nothing is made all the same") {
  CHECK(make_question({QuestionKind::landmark, 802020432, 5}).ok());
}

TEST_CASE("a teacher marks the answers to a graded set as to any other") {
  QuestionSet set = graded_example();
  set.count = 2;
  std::vector<PracticeQuestion> questions;
  for (const QuestionSpec& spec : questions_of(set)) {
    auto made = make_question(spec);
    REQUIRE(made.ok());
    questions.push_back(std::move(made.value().question));
  }
  std::size_t best = 0;
  for (std::size_t i = 0; i < questions[0].choices.size(); ++i)
    if (questions[0].choices[i].credit == 1) best = i;
  SetResult result;
  result.by = "A. Student";
  result.answers = {{std::to_string(best + 1), 3}, {"", 90}};
  const auto read = read_result_code(graded_name(set), result_code(graded_name(set), result));
  REQUIRE(read.ok());
  const GatheredSet gathered = gather(questions, {read.value().result});
  CHECK(gathered.results[0].marks[0].verdict == Verdict::right);
  CHECK(gathered.results[0].credit == doctest::Approx(1));
}
