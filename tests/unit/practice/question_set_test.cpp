#include "practice/question_set.h"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <set>

#include "practice/bite_draw.h"
#include "practice/progress.h"

#include <nlohmann/json.hpp>

using namespace intercusp;

namespace {

QuestionSet example() {
  QuestionSet set;
  set.title = "Tuesday, group B";
  set.seed = 42;
  set.count = 5;
  set.kinds = {QuestionKind::molar_relation, QuestionKind::overjet};
  set.seconds = 60;
  set.tools = PracticeTools::views;
  return set;
}

PracticeQuestion choice_of_two(unsigned seed) {
  PracticeQuestion q;
  q.spec.seed = seed;
  q.choices = {{"Yes", 1, 1}, {"No", 0, 0}};
  q.truth_words = "yes";
  return q;
}

Mark wrong_mark() {
  return {};
}

Mark right_mark() {
  Mark mark;
  mark.verdict = Verdict::right;
  mark.credit = 1;
  return mark;
}

}  // namespace

TEST_CASE("every kind has an id of its own and stands at its place") {
  std::set<std::string> ids;
  for (const KindInfo& info : question_kinds()) {
    CHECK(&info_of(info.kind) == &info);
    CHECK(kind_of(info.id) == info.kind);
    ids.insert(info.id);
  }
  CHECK(ids.size() == kQuestionKinds);
}

TEST_CASE("a set code says the whole set") {
  const QuestionSet set = example();
  const std::string code = set_code(set);
  const auto read = read_set_code(code);
  REQUIRE(read.ok());
  CHECK(set_code(read.value()) == code);
  CHECK(read.value().title == set.title);
  CHECK(read.value().tools == PracticeTools::views);
  CHECK(read.value().seconds == 60);
  CHECK(questions_of(read.value()) == questions_of(set));
  CHECK(code.find_first_not_of("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_.") ==
        std::string::npos);
}

TEST_CASE("a damaged set code is refused, whatever was damaged") {
  const std::string code = set_code(example());
  for (std::size_t i = 0; i < code.size(); i += 3) {
    std::string bad = code;
    bad[i] = bad[i] == 'a' ? 'b' : 'a';
    CHECK_FALSE(read_set_code(bad).ok());
  }
  CHECK_FALSE(read_set_code(code.substr(0, code.size() / 2)).ok());
  CHECK_FALSE(read_set_code("").ok());
}

// These numbers never change. A set sent out today asks the same next year, and one of an older version still does.
TEST_CASE("what the recipes mean") {
  QuestionSet old = example(), second = example();
  old.version = 1;
  second.version = 2;
  const auto before = questions_of(read_set_code(set_code(old)).value());
  CHECK(before[4] == QuestionSpec{QuestionKind::molar_relation, 843496037, 6, 1});
  CHECK(questions_of(read_set_code(set_code(second)).value())[4] ==
        QuestionSpec{QuestionKind::molar_relation, 843496037, 6, 2});
  const auto specs = questions_of(example());
  REQUIRE(specs.size() == 5);
  CHECK(specs[0] == QuestionSpec{QuestionKind::molar_relation, 434732960, 2, 3});
  CHECK(specs[4] == QuestionSpec{QuestionKind::molar_relation, 843496037, 6, 3});
  const DrawnBite bite = draw_bite(specs[4], 0);
  CHECK(bite.recipe.seed == draw_bite(before[4], 0).recipe.seed);
  CHECK(bite.recipe.seed == 54701);
  CHECK(bite.recipe.molar_right_mm == doctest::Approx(2.236204779056).epsilon(1e-12));
  CHECK(bite.recipe.overjet_mm == doctest::Approx(3.39179576980446).epsilon(1e-12));
  const DrawnBite front = draw_bite({QuestionKind::crossbite, 5, 4}, 1);
  CHECK(front.recipe.crossbite_right_mm + front.recipe.crossbite_left_mm ==
        doctest::Approx(7.34705983933899).epsilon(1e-12));
}

TEST_CASE("a set of a version that is not known is refused") {
  QuestionSet set = example();
  for (const int version : {0, kPracticeVersion + 1}) {
    set.version = version;
    CHECK_FALSE(read_set_code(set_code(set)).ok());
  }
}

TEST_CASE("what was missed comes back after longer and longer pauses until it is known") {
  PracticeProgress progress;
  const PracticeQuestion q = choice_of_two(9);
  progress.take(q, wrong_mark(), 100);
  const std::vector<QuestionKind> kinds{q.spec.kind};
  CHECK_FALSE(progress.next(kinds, 100, 77) == q.spec);
  CHECK(progress.next(kinds, 101, 77) == q.spec);
  long day = 101;
  for (const long pause : {3L, 7L, 21L}) {
    progress.take(q, right_mark(), day);
    CHECK_FALSE(progress.next(kinds, day + pause - 1, 77) == q.spec);
    day += pause;
    CHECK(progress.next(kinds, day, 77) == q.spec);
  }
  progress.take(q, right_mark(), day);
  CHECK(progress.due().empty());
}

TEST_CASE("a pause makes a level less certain, and the next question knows it") {
  PracticeProgress progress;
  PracticeQuestion q = choice_of_two(9);
  const auto answer_right = [&](QuestionKind kind, int times, long day) {
    q.spec.kind = kind;
    for (int i = 0; i < times; ++i) progress.take(q, right_mark(), day);
  };
  const QuestionKind often = QuestionKind::molar_relation, lately = QuestionKind::canine_relation;
  answer_right(often, 8, 100);
  answer_right(lately, 4, 200);
  const double sure = progress.ability(often).sd();
  CHECK(progress.ability(often, 100).sd() == sure);
  CHECK(progress.ability(often, 50).sd() == sure);  // a clock set back widens nothing
  CHECK(progress.ability(often, 110).sd() == doctest::Approx(std::sqrt(sure * sure + 0.1)).epsilon(1e-2));
  CHECK(progress.ability(often, 500).sd() == progress.ability(often, 200).sd());
  CHECK(sure < progress.ability(lately).sd());
  CHECK(progress.next({often, lately}, 100, 77).kind == lately);
  CHECK(progress.next({often, lately}, 200, 77).kind == often);
}

TEST_CASE("of three kinds each is asked once before one is asked twice on a day, whatever was answered before") {
  const std::vector<QuestionKind> kinds{QuestionKind::molar_relation, QuestionKind::overjet, QuestionKind::midline};
  PracticeProgress progress;
  PracticeQuestion q = choice_of_two(9);
  q.spec.kind = kinds[2];
  for (int i = 0; i < 12; ++i) progress.take(q, right_mark(), 90);  // the one that is known best
  std::set<QuestionKind> asked;
  for (unsigned i = 0; i < 3; ++i) {
    q.spec = progress.next(kinds, 100, 50 + i);
    asked.insert(q.spec.kind);
    progress.take(q, i == 1 ? wrong_mark() : right_mark(), 100);
  }
  CHECK(asked.size() == 3);
}

TEST_CASE("progress of two machines is joined, and nothing is lost or counted twice") {
  PracticeProgress here, there, both;
  const auto answer = [](PracticeProgress& p, unsigned seed, long day, bool right) {
    p.take(choice_of_two(seed), right ? right_mark() : wrong_mark(), day);
  };
  answer(here, 1, 100, true);
  answer(here, 2, 100, false);
  there = here;
  answer(there, 3, 103, false);
  both = here;
  both.join(there);  // it goes on where this one ends
  CHECK(both.to_json() == there.to_json());
  both.join(here);  // it knows that already
  CHECK(both.to_json() == there.to_json());
  answer(here, 4, 102, true);
  both = here;
  both.join(there);
  REQUIRE(both.answers().size() == 4);
  for (std::size_t i = 0; i < 4; ++i) CHECK(both.answers()[i].spec.seed == std::array{1u, 2u, 4u, 3u}[i]);
  CHECK(both.due().size() == 2);
  CHECK(is_progress_text(both.to_json_with_skills().dump()));
  CHECK_FALSE(is_progress_text("{\"landmarks\": {}}"));
}

TEST_CASE("progress survives its file, and estimates show bias and spread") {
  PracticeProgress progress;
  PracticeQuestion q;
  q.spec.kind = QuestionKind::overjet;
  q.form = AnswerForm::number;
  for (const double off : {0.5, 1.0, 1.5}) {
    Mark mark = right_mark();
    mark.off = off;
    progress.take(q, mark, 5);
  }
  const auto again = PracticeProgress::from_json_text(progress.to_json().dump());
  REQUIRE(again.ok());
  const Calibration c = again.value().calibration(QuestionKind::overjet);
  CHECK(c.count == 3);
  CHECK(c.bias == doctest::Approx(1.0));
  CHECK(c.spread == doctest::Approx(0.5));
  CHECK(again.value().to_json() == progress.to_json());
  CHECK_FALSE(progress.to_json().contains("skills"));
  CHECK(progress.to_json_with_skills()["skills"]["overjet"]["bias_mm"] == doctest::Approx(1.0));
  CHECK(PracticeProgress::from_json_text(progress.to_json_with_skills().dump()).ok());
  CHECK_FALSE(PracticeProgress::from_json_text("{}").ok());
  CHECK_FALSE(PracticeProgress::from_json_text("{\"practice_progress\":99}").ok());
  CHECK(session_report(progress, 0).find("your readings: 1 mm too far forward on the mean, spread 0.5 mm") !=
        std::string::npos);
}
