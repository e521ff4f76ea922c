#include "practice/ability.h"

#include <doctest/doctest.h>

#include <cmath>

#include "anatomy/fixed_random.h"
#include "practice/kinds.h"

using namespace intercusp;

namespace {

/// A student of known ability who answers by the model.
class Student {
 public:
  Student(double theta, std::uint64_t seed) : theta_(theta), random_(seed) {}
  double answer(double difficulty, double guess) {
    const double p = guess + (1 - guess) / (1 + std::exp(difficulty - theta_));
    return random_.between(0, 1) < p ? 1 : 0;
  }
  void improve(double by) { theta_ += by; }
  double theta() const { return theta_; }

 private:
  double theta_;
  FixedRandom random_;
};

void practise(Student& student, Ability& ability, int questions, double guess, double gain = 0) {
  for (int i = 0; i < questions; ++i) {
    const double b = difficulty_logits(ability.next_difficulty());
    ability.learn(b, guess, student.answer(b, guess));
    student.improve(gain);
  }
}

double share_within_half_a_logit(double guess, int students) {
  FixedRandom random(2026);
  int placed = 0;
  for (int i = 0; i < students; ++i) {
    Student student(random.between(-2, 2), random.next());
    Ability ability;
    practise(student, ability, 30, guess);
    placed += std::abs(ability.mean() - student.theta()) <= 0.5;
  }
  return static_cast<double>(placed) / students;
}

}  // namespace

TEST_CASE("of simulated students 80 % are placed within half a logit in 30 questions") {
  CHECK(share_within_half_a_logit(0, 600) >= 0.8);
}

TEST_CASE("students improve only where the simulation says so") {
  FixedRandom random(7);
  double steady = 0, learning = 0;
  constexpr int kStudents = 150;
  for (int i = 0; i < kStudents; ++i) {
    const double theta = random.between(-1, 1);
    for (const double gain : {0.0, 0.03}) {
      Student student(theta, random.next());
      Ability before, after;
      practise(student, before, 30, 0);
      after = before;
      after.loosen(1.0);
      practise(student, after, 30, 0, gain);
      (gain == 0 ? steady : learning) += (after.mean() - before.mean()) / kStudents;
    }
  }
  CHECK(std::abs(steady) < 0.15);
  CHECK(learning > 0.3);
}

TEST_CASE("an ability is uncertain at first, surer with every answer, and less sure after a pause") {
  Ability a;
  CHECK(a.mean() == doctest::Approx(0).epsilon(1e-9));
  CHECK(a.sd() == doctest::Approx(Ability::kPriorSd).epsilon(1e-3));
  a.learn(0, 0, 1);
  CHECK(a.mean() > 0.3);
  const double sure = a.sd();
  CHECK(sure < Ability::kPriorSd);
  a.loosen(0.3);
  CHECK(a.sd() == doctest::Approx(std::sqrt(sure * sure + 0.3)).epsilon(1e-2));
  Ability lucky;
  lucky.learn(0, 0.5, 1);
  CHECK(lucky.mean() < a.mean());  // a guess may have done it
}

TEST_CASE("the next question is as hard as the ability, between the easiest and the hardest") {
  Ability a;
  CHECK(a.next_difficulty() == 4);
  for (int i = 0; i < 40; ++i) a.learn(difficulty_logits(kHardest), 0, 1);
  CHECK(a.next_difficulty() == kHardest);
  Ability b;
  for (int i = 0; i < 40; ++i) b.learn(difficulty_logits(kEasiest), 0, 0);
  CHECK(b.next_difficulty() == kEasiest);
}
