// How well somebody does at a skill, and how hard the next question should be. See docs/practice.md.
#pragma once

#include <array>
#include <cstddef>

namespace intercusp {

/// Difficulty of a question in logits: -2.25 to 2.25 for the levels 1 to 7.
double difficulty_logits(int difficulty);

/// Belief about an ability on a grid of logits. The model: a question of difficulty b is answered rightly with
/// probability P = c + (1 - c) / (1 + exp(b - theta)), c being the chance of a lucky guess; credit x (0..1) multiplies
/// the belief by P^x (1 - P)^(1 - x). Begins as a normal distribution, mean 0, standard deviation 1.5 logits.
class Ability {
 public:
  static constexpr std::size_t kSteps = 361;
  static constexpr double kLowest = -9, kStep = 0.05, kPriorSd = 1.5;

  Ability();
  /// Takes an answer in. O(grid).
  void learn(double difficulty, double guess, double credit);
  /// Time has passed: the belief widens, variance + `variance`.
  void loosen(double variance);

  double mean() const;
  double sd() const;
  /// The difficulty level whose logits lie nearest to the ability: a bit over half of such questions are answered
  /// rightly, which tells most.
  int next_difficulty() const;

 private:
  std::array<double, kSteps> belief_;
};

}  // namespace intercusp
