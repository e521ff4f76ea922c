#include "practice/ability.h"

#include <algorithm>
#include <cmath>

#include "practice/kinds.h"

namespace intercusp {

namespace {

double logits_at(std::size_t i) {
  return Ability::kLowest + Ability::kStep * static_cast<double>(i);
}

void normalise(std::array<double, Ability::kSteps>& belief) {
  double sum = 0;
  for (const double b : belief) sum += b;
  for (double& b : belief) b /= sum;
}

}  // namespace

double difficulty_logits(int difficulty) {
  return 0.75 * (difficulty - 4);
}

Ability::Ability() {
  for (std::size_t i = 0; i < kSteps; ++i) {
    const double z = logits_at(i) / kPriorSd;
    belief_[i] = std::exp(-0.5 * z * z);
  }
  normalise(belief_);
}

void Ability::learn(double difficulty, double guess, double credit) {
  for (std::size_t i = 0; i < kSteps; ++i) {
    const double p = guess + (1 - guess) / (1 + std::exp(difficulty - logits_at(i)));
    belief_[i] *= std::pow(p, credit) * std::pow(1 - p, 1 - credit);
  }
  normalise(belief_);
}

void Ability::loosen(double variance) {
  if (variance <= 0) return;
  // The kernel depends on the distance alone: one exponential for each, not for each pair.
  std::array<double, kSteps> kernel{}, wide{};
  for (std::size_t k = 0; k < kSteps; ++k) {
    const double d = kStep * static_cast<double>(k);
    kernel[k] = std::exp(-0.5 * d * d / variance);
  }
  for (std::size_t i = 0; i < kSteps; ++i)
    for (std::size_t j = 0; j < kSteps; ++j) wide[i] += belief_[j] * kernel[i > j ? i - j : j - i];
  belief_ = wide;
  normalise(belief_);
}

double Ability::mean() const {
  double sum = 0;
  for (std::size_t i = 0; i < kSteps; ++i) sum += belief_[i] * logits_at(i);
  return sum;
}

double Ability::sd() const {
  const double centre = mean();
  double sum = 0;
  for (std::size_t i = 0; i < kSteps; ++i) {
    const double off = logits_at(i) - centre;
    sum += belief_[i] * off * off;
  }
  return std::sqrt(sum);
}

int Ability::next_difficulty() const {
  const double level = mean() / 0.75 + 4;
  return std::clamp(static_cast<int>(std::lround(level)), kEasiest, kHardest);
}

}  // namespace intercusp
