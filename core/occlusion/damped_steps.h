// Levenberg-Marquardt, whatever a state and its equations are.
#pragma once

#include <utility>

namespace intercusp {

struct DampedSettings {
  int steps = 6;             ///< at most
  int attempts = 4;          ///< at a step, each held more, before it is given up
  double least_gain = 1e-6;  ///< done when a step lowers the cost by less than this share of it
};

/// Walks from `state` down the cost that `equations(state).cost` gives: `next(state, equations, lambda)` is the state
/// after a step held by lambda. Never raises the cost. Returns where it ends, with its equations.
template <class State, class Equations, class Next>
auto damped_steps(State state, const DampedSettings& settings, const Equations& equations, const Next& next) {
  double lambda = 1e-3;
  auto now = equations(state);
  for (int step = 0; step < settings.steps; ++step) {
    State tried = state;
    auto there = now;
    bool better = false;
    for (int attempt = 0; attempt < settings.attempts && !better; ++attempt) {
      tried = next(state, now, lambda);
      there = equations(tried);
      better = there.cost < now.cost;
      lambda *= better ? 0.3 : 10;
    }
    if (!better) break;
    const double gained = now.cost - there.cost;
    state = std::move(tried);
    now = std::move(there);
    if (gained < settings.least_gain * now.cost) break;
  }
  return std::make_pair(std::move(state), std::move(now));
}

}  // namespace intercusp
