#include "practice/question.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "practice/marking.h"
#include "practice/picture.h"

using namespace intercusp;

namespace {

/// The best answer to a question, from its key.
PracticeAnswer best_answer(const PracticeQuestion& q) {
  PracticeAnswer answer;
  for (std::size_t i = 0; i < q.choices.size(); ++i)
    if (q.choices[i].credit > q.choices[answer.choice].credit) answer.choice = i;
  answer.number = q.value;
  answer.teeth = q.teeth;
  answer.at = q.at;
  return answer;
}

void check_fair(const PracticeQuestion& q) {
  int right = 0;
  double likely = 0;
  for (const Choice& c : q.choices) {
    CHECK(c.credit >= 0);
    CHECK(c.credit <= 1);
    right += c.credit == 1;
    likely += c.probability;
  }
  if (q.form == AnswerForm::choice) {
    CHECK((right == 1) != q.two_answers);
    CHECK(likely == doctest::Approx(1).epsilon(1e-9));
  }
  CHECK_FALSE(q.prompt.empty());
  CHECK_FALSE(q.truth_words.empty());
  CHECK_FALSE(q.source.empty());
  // A student is told in words: names of points and files are no words.
  CHECK_FALSE(q.definition.empty());
  for (const std::string& words : {q.prompt, q.definition, q.source, q.truth_words})
    for (const char* name : {".contact", "_cusp", "_groove", "_edge", ".md"})
      CHECK(words.find(name) == std::string::npos);
  CHECK(mark_answer(q, best_answer(q)).verdict == Verdict::right);
}

/// More questions in the long run: INTERCUSP_QUESTIONS.
unsigned rounds() {
  const char* asked = std::getenv("INTERCUSP_QUESTIONS");
  return asked ? static_cast<unsigned>(std::atoi(asked)) : 0;
}

}  // namespace

TEST_CASE("a movement that does not correct is marked with what it leads to") {
  const auto made = make_question({QuestionKind::correction, 2, 3});
  REQUIRE(made.ok());
  const PracticeQuestion& q = made.value().question;
  for (std::size_t i = 0; i < q.choices.size(); ++i) {
    PracticeAnswer answer;
    answer.choice = i;
    const Mark mark = mark_answer(q, answer);
    CAPTURE(mark.why);
    CHECK((mark.why.find("After your choice the overjet is ") != std::string::npos) == (mark.credit < 1));
    if (mark.credit == 1) CHECK(mark.meant.find("; the molars: right Class I, ") != std::string::npos);
  }
}

TEST_CASE("a crossbite is shown at each crossed tooth, and nowhere where there is none") {
  bool some = false, none = false;
  for (unsigned seed = 1; !(some && none) && seed < 40; ++seed) {
    const auto made = make_question({QuestionKind::crossbite, seed, 3});
    REQUIRE(made.ok());
    const PracticeQuestion& q = made.value().question;
    REQUIRE(q.construct.size() == q.teeth.size());
    for (std::size_t i = 0; i < q.teeth.size(); ++i) {
      CHECK(q.construct[i].label == std::to_string(q.teeth[i]));
      // The patient's right is x < 0; both cusps are of one pair of teeth.
      CHECK((q.construct[i].points[0].x() < 0) == (q.teeth[i] < 20));
      CHECK((q.construct[i].points[0] - q.construct[i].points[1]).norm() < 8);
    }
    (q.teeth.empty() ? none : some) = true;
  }
  CHECK(some);
  CHECK(none);
}

TEST_CASE("questions are fair and their keys are right") {
  for (const QuestionSpec& spec :
       {QuestionSpec{QuestionKind::canine_relation, 21, 4}, QuestionSpec{QuestionKind::midline, 3, 3},
        QuestionSpec{QuestionKind::correction, 2, 3}}) {
    const auto made = make_question(spec);
    REQUIRE(made.ok());
    check_fair(made.value().question);
  }
  for (unsigned i = 0; i < rounds(); ++i) {
    const QuestionSpec spec{static_cast<QuestionKind>(i % kQuestionKinds), 1000 + i,
                            1 + static_cast<int>(i / kQuestionKinds) % kHardest};
    const auto made = make_question(spec);
    REQUIRE_MESSAGE(made.ok(), info_of(spec.kind).id << " " << spec.seed << ": " << made.error().sentence());
    check_fair(made.value().question);
    if (spec.difficulty < 6 && made.value().question.form == AnswerForm::choice)
      CHECK_FALSE(made.value().question.two_answers);
  }
}

TEST_CASE("the same spec makes the same question, and another seed another") {
  const auto a = make_question({QuestionKind::notation, 5, 2}), b = make_question({QuestionKind::notation, 5, 2});
  REQUIRE(a.ok());
  CHECK(a.value().question.teeth == b.value().question.teeth);
  CHECK((*a.value().question.marked - *b.value().question.marked).norm() == 0);
  const auto other = make_question({QuestionKind::notation, 6, 2});
  REQUIRE(other.ok());
  CHECK((*a.value().question.marked - *other.value().question.marked).norm() > 0.1);
  CHECK_FALSE(make_question({QuestionKind::notation, 5, 9}).ok());
  CHECK_FALSE(make_question({QuestionKind::notation, 0, 3}).ok());
}

// An answer that names only what counts neither way is no answer.
TEST_CASE("crowding: what overlooks most of it is neither right nor near, but in version 2") {
  bool told_apart = false;
  for (unsigned seed = 1; seed < 12; ++seed) {
    const auto older = make_question({QuestionKind::crowding, seed, 3, 2});
    const auto newer = make_question({QuestionKind::crowding, seed, 3});
    REQUIRE(older.ok());
    REQUIRE(newer.ok());
    const PracticeQuestion &before = older.value().question, &q = newer.value().question;
    CHECK(before.value == q.value);  // the same bite
    PracticeAnswer none;             // 0 mm
    const double amount = std::abs(q.value), credit = mark_answer(q, none).credit;
    // Less than the tolerance of the difficulty is as good as none.
    CHECK((credit == 1) == (amount <= 0.75));
    if (amount > 1) CHECK(credit == 0);
    told_apart = told_apart || mark_answer(before, none).credit > credit;
  }
  CHECK(told_apart);
}

TEST_CASE("crossbites: no question has only teeth that count neither way, but in version 1") {
  const auto nothing_sure = [](const PracticeQuestion& q) {
    return !q.doubtful_teeth.empty() &&
           std::includes(q.doubtful_teeth.begin(), q.doubtful_teeth.end(), q.teeth.begin(), q.teeth.end());
  };
  for (const std::uint64_t seed : {145, 148, 153, 297}) {
    CHECK(nothing_sure(make_question({QuestionKind::crossbite, seed, 6, 1}).value().question));
    CHECK_FALSE(nothing_sure(make_question({QuestionKind::crossbite, seed, 6}).value().question));
  }
}

TEST_CASE("midlines that agree: what is not right is not near, but in version 1") {
  const auto credit = [](int version, const char* answer) {
    const PracticeQuestion q = make_question({QuestionKind::midline, 6, 4, version}).value().question;
    REQUIRE(std::abs(q.value) < q.right_within);
    return mark_answer(q, read_answer(q, answer).value()).credit;
  };
  CHECK(credit(2, "0") == 1);
  CHECK(credit(2, "1.3 left") == 0);
  CHECK(credit(1, "1.3 left") == 0.5);
}

TEST_CASE("molars that drifted forward leave the canine behind") {
  JawRecipe recipe;
  recipe.name = "drift";
  recipe.drift_right_mm = recipe.molar_right_mm = 3;
  const auto jaws = make_sample_points(recipe);
  REQUIRE(jaws.ok());
  auto truth = jaws.value().truth;
  CHECK(truth["molar_right"] == doctest::Approx(3).epsilon(1e-6));
  CHECK(std::abs(truth["molar_left"]) < 1e-6);
  CHECK(std::abs(truth["canine_right"] - truth["canine_left"]) < 0.6);
  CHECK(truth["crowding_upper"] > 3.5);  // the second premolar lacks the room
}

TEST_CASE("a picture shows what lies in front, the patient's right on the left") {
  Mesh near, far;
  near.positions = {{-5, -10, -5}, {0, -10, -5}, {0, -10, 5}, {-5, -10, 5}};
  far.positions = {{-5, 10, -5}, {5, 10, -5}, {5, 10, 5}, {-5, 10, 5}};
  near.triangles = far.triangles = {{0, 1, 2}, {0, 2, 3}};
  near.colours.assign(4, {255, 0, 0, 255});
  far.colours.assign(4, {0, 255, 0, 255});
  const Picture p = draw_record_view({{&near, Pose::Identity(), true}, {&far, Pose::Identity(), false}},
                                     RecordView::front, 100, 100, nullptr);
  const auto at = [&](int x, int y, int k) { return p.rgb[static_cast<std::size_t>(3 * (y * 100 + x) + k)]; };
  CHECK(at(30, 50, 0) > 100);  // the red one covers the patient's right
  CHECK(at(30, 50, 1) == 0);
  CHECK(at(70, 50, 1) > 100);
  CHECK(at(70, 50, 0) == 0);
  CHECK(at(1, 1, 0) == 255);  // ground
}

TEST_CASE("the views of one arch show that jaw alone") {
  Mesh plate;
  plate.positions = {{-5, -5, 0}, {5, -5, 0}, {5, 5, 0}, {-5, 5, 0}};
  plate.triangles = {{0, 1, 2}, {0, 2, 3}};
  Mesh red = plate, green = plate;
  red.colours.assign(4, {255, 0, 0, 255});
  green.colours.assign(4, {0, 255, 0, 255});
  // The upper one lies above the lower one and would hide it.
  const Pose above(Eigen::Translation3d(0, 0, 4));
  for (const auto view : {RecordView::upper, RecordView::lower}) {
    const Picture p = draw_record_view({{&red, above, true}, {&green, Pose::Identity(), false}}, view, 20, 20, nullptr);
    const std::size_t middle = 3 * (10 * 20 + 10);
    const bool upper = view == RecordView::upper;
    CHECK(p.rgb[middle + (upper ? 0 : 1)] > 100);
    CHECK(p.rgb[middle + (upper ? 1 : 0)] == 0);
  }
}
