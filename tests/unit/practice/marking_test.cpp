#include "practice/marking.h"

#include <doctest/doctest.h>

using namespace intercusp;

namespace {

PracticeQuestion millimetres(double truth) {
  PracticeQuestion q;
  q.form = AnswerForm::number;
  q.value = truth;
  q.unit = "mm";
  q.right_within = 0.6;
  q.near_within = 1.1;
  q.positive_word = "left";
  q.negative_word = "right";
  q.truth_words = "truth";
  return q;
}

PracticeQuestion choosing() {
  PracticeQuestion q;
  q.choices = {{"Class I", 0, 0}, {"Class II", 1, 0.6}, {"Class III", 0.5, 0.1}, {"Neither", 0.25, 0}};
  return q;
}

PracticeQuestion crossbite() {
  PracticeQuestion q;
  q.form = AnswerForm::teeth;
  q.offered_teeth = {14, 15, 16, 17};
  q.teeth = {15, 16};
  q.doubtful_teeth = {17};
  return q;
}

Mark marked(const PracticeQuestion& question, const std::string& text) {
  const auto answer = read_answer(question, text);
  REQUIRE_MESSAGE(answer.ok(), text);
  // What is written of an answer reads back as the same answer.
  const auto again = read_answer(question, answer_text(question, answer.value()));
  REQUIRE(again.ok());
  const Mark mark = mark_answer(question, answer.value());
  CHECK(mark_answer(question, again.value()).credit == mark.credit);
  return mark;
}

}  // namespace

TEST_CASE("a number is right, near or wrong by how far it is off, and its direction counts") {
  const PracticeQuestion q = millimetres(-2);
  CHECK(marked(q, "2 right").verdict == Verdict::right);
  CHECK(marked(q, "-2.5").verdict == Verdict::right);
  CHECK(marked(q, "3,0 mm to the RIGHT").verdict == Verdict::near);
  CHECK(marked(q, "3.0 right").credit == 0.5);
  CHECK(marked(q, "4 right").verdict == Verdict::wrong);
  const Mark other = marked(q, "2 left");
  CHECK(other.credit == 0);
  CHECK(other.why.find("direction") != std::string::npos);
  CHECK(*marked(q, "1.5 right").off == doctest::Approx(0.5));
  // Around zero a direction cannot be told.
  CHECK(marked(millimetres(0.2), "0.3 right").verdict == Verdict::right);
}

TEST_CASE("a choice is named by number or words and brings its credit") {
  const PracticeQuestion q = choosing();
  CHECK(marked(q, "2").verdict == Verdict::right);
  CHECK(marked(q, " class iii ").verdict == Verdict::near);
  CHECK(marked(q, "1").credit == 0);
  CHECK(marked(q, "4").credit == 0.25);
  for (const char* bad : {"0", "5", "class", "", "2 3"}) CHECK_FALSE(read_answer(q, bad).ok());
}

TEST_CASE("teeth in crossbite: each missed or invented tooth costs, a doubtful one never does") {
  const PracticeQuestion q = crossbite();
  CHECK(marked(q, "15, 16").credit == 1);
  CHECK(marked(q, "16 15 17").credit == 1);
  CHECK(marked(q, "15").credit == 0.5);
  CHECK(marked(q, "15 and 16 and 14").credit == 0.5);
  CHECK(marked(q, "15 16 11").credit == 0.5);  // a tooth that was not offered is invented, too
  CHECK(marked(q, "15 16 11 21").credit == 0);
  CHECK(marked(q, "none").credit == 0);
  CHECK_FALSE(read_answer(q, "19").ok());
  PracticeQuestion many = crossbite();
  many.offered_teeth = many.teeth = {14, 15, 16, 24, 25, 26};
  many.doubtful_teeth.clear();
  CHECK(marked(many, "14 15 16 24 25").credit == 0.75);  // a sixth is missed, and the list is not right
  PracticeQuestion no_teeth = crossbite();
  no_teeth.teeth.clear();
  CHECK(marked(no_teeth, "none").credit == 1);
  CHECK(marked(no_teeth, "14").credit == 0);
}

TEST_CASE("a tooth of the other side or of another notation is told apart from a wrong one") {
  PracticeQuestion q;
  q.form = AnswerForm::tooth;
  q.teeth = {36};
  CHECK(marked(q, "36").verdict == Verdict::right);
  CHECK(marked(q, "46").credit == 0.25);
  CHECK(marked(q, "19").credit == 0);  // universal number of 36: 25 - 6
  CHECK(marked(q, "19").why.find("universal") != std::string::npos);
  CHECK(marked(q, "35").credit == 0);
  q.spec.version = 1;
  CHECK(marked(q, "19").credit == 0.5);
}

TEST_CASE("a point counts by its distance") {
  PracticeQuestion q;
  q.form = AnswerForm::point;
  q.at = Vec3(10, -20, 3);
  q.landmark = "36.mesiobuccal_cusp";
  q.right_within = 1;
  q.near_within = 2;
  CHECK(marked(q, "10 -20 3.5").verdict == Verdict::right);
  CHECK(marked(q, "10 -20 4.5").verdict == Verdict::near);
  CHECK(marked(q, "10, -20, 6").verdict == Verdict::wrong);
  CHECK_FALSE(read_answer(q, "10 -20").ok());
}
