#include "occlusion/seat_search.h"

#include <algorithm>

#include "base/parallel.h"
#include "occlusion/chewing_samples.h"

namespace intercusp {
namespace {

constexpr double kCoarseStepMm = 2.2, kMiddleStepMm = 1.4, kFineStepMm = 0.7;
constexpr std::size_t kMostMiddle = 48, kMostFine = 6;
constexpr double kGridMm = 0.7, kGridMarginMm = 4;
constexpr double kSamePlaceMm = 0.5, kSameStartMm = 0.8;
constexpr double kLeastSamples = 30;

}  // namespace

SeatSearch::SeatSearch(const SeatQuestion& question) : watched_(question.watched) {
  for (const double step : {kCoarseStepMm, kMiddleStepMm, kFineStepMm}) {
    SeatProblem problem;
    problem.upper = question.upper;
    problem.lower = question.lower;
    problem.lower_samples = thinned(question.lower_points, step);
    problem.upper_samples = thinned(question.upper_points, step);
    problem.conditions = question.conditions;
    problems_.push_back(std::move(problem));
  }
  lay_grid();
}

// The upper arch's distances around its chewing surfaces, for the many first tries.
void SeatSearch::lay_grid() {
  SeatProblem& coarse = problems_[0];
  Box region;
  const Pose own = coarse.upper.patient_from_surface.inverse();
  for (const Vec3& p : coarse.upper_samples) region.extend(own * p);
  if (region.isEmpty()) return;
  const Vec3 margin = Vec3::Constant(kGridMarginMm);
  grid_ = DistanceGrid(*coarse.upper.surface, Box(region.min() - margin, region.max() + margin), kGridMm,
                       2 * kGridMarginMm);
  coarse.upper_samples.clear();
  coarse.upper_grid = &grid_;
}

bool SeatSearch::enough() const {
  return static_cast<double>(fine().lower_samples.size()) >= kLeastSamples &&
         static_cast<double>(fine().upper_samples.size()) >= kLeastSamples;
}

std::optional<std::vector<SeatState>> SeatSearch::run(std::vector<SeatState> states, const std::vector<SeatState>& near,
                                                      std::size_t most, bool finest,
                                                      const ProgressPart& progress) const {
  // Only the last reach tells a seat from a place where much is merely near: nothing is dropped before. A far reach
  // finds seats that are far, and leads away from some that are near: each start is taken both ways.
  std::vector<SeatState> shorter = states;
  const std::vector<SeatStage> short_reach = {{1, 5, false, 1e-3}, {0.6, 5, false, 1e-3}, {0.35, 6}};
  if (!fit(0, shorter, short_reach, 100, progress, 0, 0.15)) return std::nullopt;
  const std::vector<SeatStage> far_reach = {{2, 5, false, 1e-3}, {1, 5, false, 1e-3}, {0.6, 5, false, 1e-3}, {0.35, 6}};
  if (!fit(0, states, far_reach, 100, progress, 0.15, 0.35)) return std::nullopt;
  states.insert(states.end(), shorter.begin(), shorter.end());
  keep(states, kMostMiddle, kSameStartMm);
  states.insert(states.end(), near.begin(), near.end());
  if (!fit(1, states, {{0.45, 3}, {0.3, 3}}, 1.0, progress, 0.35, 0.65)) return std::nullopt;
  keep(states, kMostMiddle / 2, kSamePlaceMm);
  if (!fit(1, states, {{0.15, 6}}, 0.8, progress, 0.65, 0.75)) return std::nullopt;
  keep(states, std::max(most, kMostFine), kSamePlaceMm);
  if (finest) {
    if (!fit(2, states, {{0.15, 4}, {0.1, 6, true}, {0.07, 10, true}}, 0.6, progress, 0.75, 1)) return std::nullopt;
  }
  keep(states, most, kSamePlaceMm);
  return states;
}

// All states through all stages, each with the samples that lie within `near_mm` at its beginning; false when
// cancelled.
bool SeatSearch::fit(std::size_t level, std::vector<SeatState>& states, const std::vector<SeatStage>& stages,
                     double near_mm, const ProgressPart& progress, double from, double to) const {
  constexpr std::size_t kAtOnce = 8;
  for (std::size_t begin = 0; begin < states.size(); begin += kAtOnce) {
    if (progress.whole.cancelled()) return false;
    const std::size_t end = std::min(begin + kAtOnce, states.size());
    in_halves(end - begin, 2, [&](std::size_t first, std::size_t last) {
      for (std::size_t i = begin + first; i < begin + last; ++i)
        states[i] = fit_through(problems_[level], states[i], stages, near_mm);
    });
    progress.report(from + (to - from) * static_cast<double>(end) / static_cast<double>(states.size()));
  }
  return !progress.whole.cancelled();
}

double SeatSearch::apart(const SeatState& a, const SeatState& b) const {
  double most = 0;
  for (const Vec3& p : watched_) most = std::max(most, (a.motion * p - b.motion * p).norm());
  return most;
}

// The best `most` of different places, best first.
void SeatSearch::keep(std::vector<SeatState>& states, std::size_t most, double same_mm) const {
  std::stable_sort(states.begin(), states.end(),
                   [](const SeatState& a, const SeatState& b) { return a.energy < b.energy; });
  std::vector<SeatState> kept;
  for (const SeatState& s : states) {
    if (kept.size() == most) break;
    const bool known = std::any_of(kept.begin(), kept.end(), [&](const SeatState& k) { return apart(s, k) < same_mm; });
    if (!known) kept.push_back(s);
  }
  states = std::move(kept);
}

SeatState fit_through(const SeatProblem& problem, SeatState state, const std::vector<SeatStage>& stages,
                      double near_mm) {
  const bool part = near_mm < kGridMarginMm;
  const SeatProblem near = part ? near_part(problem, state, near_mm) : problem;
  if (near.lower_samples.empty()) {
    state.energy = 1;
    return state;
  }
  for (const SeatStage& stage : stages) state = fit_seat(near, state, stage);
  return state;
}

}  // namespace intercusp
