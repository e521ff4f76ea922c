// Settles one arch on the other from a start: least squares on the gaps, robust against what does not touch.
#pragma once

#include <functional>
#include <vector>

#include "geometry/distance_grid.h"
#include "occlusion/measure.h"

namespace intercusp {

/// A distance that must be met: along `direction`, from a point of the lower arch to one of the upper one. All in the
/// patient frame, the lower point where the arch stands before `motion`.
struct SeatCondition {
  Vec3 upper, lower, direction;
  double target_mm = 0;
};

struct SeatState {
  Pose motion = Pose::Identity();  ///< of the lower arch, patient frame
  double shared_gap_mm = 0.025;    ///< what the seated surfaces keep between them (contact threshold, scan error)
  double energy = 0;               ///< mean of the robust cost of all samples, 0 (all at the shared gap) to 1
};

/// Both arches with samples of their chewing surfaces, ready to be fitted again and again.
struct SeatProblem {
  PosedSurface upper, lower;
  std::vector<Vec3> upper_samples, lower_samples;  ///< patient frame, where they stand before `motion`
  std::size_t left_out = 0;                        ///< samples that are not listed and count as out of reach
  std::function<std::vector<SeatCondition>(const Pose& motion)> conditions;  ///< may be empty
  const DistanceGrid* upper_grid = nullptr;  ///< answers for the upper arch, in its own frame, instead of its surface
};

/// How far a gap may be before it no longer pulls, and for how many steps.
struct SeatStage {
  double reach_mm = 1;
  int steps = 6;
  bool share_gap = false;    ///< the shared gap is an unknown as well
  double least_gain = 1e-6;  ///< done when a step lowers the energy by less than this share of it
};

/// Levenberg-Marquardt with iteratively reweighted gaps (Geman-McClure), overlap counted fourfold. O(steps x samples x
/// log n). Never raises the energy of the stage's own cost.
SeatState fit_seat(const SeatProblem& problem, SeatState from, const SeatStage& stage);

/// The same problem with only those samples that lie within `within_mm` of the other arch in that state: the others
/// would cost time and not pull.
SeatProblem near_part(const SeatProblem& problem, const SeatState& state, double within_mm);

/// Share of the samples within `within_mm` of the shared gap.
double seated_share(const SeatProblem& problem, const SeatState& state, double within_mm);

}  // namespace intercusp
