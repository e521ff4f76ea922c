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

/// A small change of a state: a turn about the middle of the lower samples (3, radians), a shift (3, mm), and what the
/// shared gap grows by (mm).
using SeatStep = Eigen::Matrix<double, 7, 1>;

/// The linear system of one step, and what a state costs: `energy` the samples alone, `cost` with what is held.
struct SeatEquations {
  Eigen::Matrix<double, 7, 7> matrix = Eigen::Matrix<double, 7, 7>::Zero();
  SeatStep right = SeatStep::Zero();
  double cost = 0, energy = 0;
};

/// One stage of a problem. Refers to the problem: keep it alive. Not for two threads at once.
class SeatFitter {
 public:
  SeatFitter(const SeatProblem& problem, const SeatStage& stage);

  /// Levenberg-Marquardt with iteratively reweighted gaps (Geman-McClure), overlap counted fourfold. O(steps x samples
  /// x log n). Never raises the cost.
  SeatState run(SeatState state) const;

  /// O(samples x log n).
  SeatEquations equations(const SeatState& state) const;

  /// The state after a step; the shared gap stays within 0 to 0.15 mm.
  SeatState stepped(const SeatState& state, const SeatStep& step) const;

  /// One sample's gap and how it changes with a step.
  struct Gap {
    bool near = false;
    double mm = 0;
    SeatStep slope = SeatStep::Zero();
  };
  /// Of the lower samples, then of the upper ones.
  std::vector<Gap> gaps(const SeatState& state) const;

 private:
  bool gap_to_upper(const Vec3& x, std::uint32_t& nearest, double& mm, Vec3& n) const;
  double robust(double left_mm, double& weight) const;
  void hold_gap(const SeatState& state, SeatEquations& e) const;
  void meet_conditions(const SeatState& state, SeatEquations& e) const;
  SeatStep solved(const SeatEquations& e, double lambda) const;

  const SeatProblem& problem_;
  SeatStage stage_;
  Pose to_upper_, to_lower_;
  double limit_mm_;
  Vec3 centre_ = Vec3::Zero();
  mutable std::vector<std::uint32_t> nearest_;  // triangle of each sample when last asked: where to look first
};

/// One stage from one state, see SeatFitter::run.
SeatState fit_seat(const SeatProblem& problem, SeatState from, const SeatStage& stage);

/// The same problem with only those samples that lie within `within_mm` of the other arch in that state: the others
/// would cost time and not pull.
SeatProblem near_part(const SeatProblem& problem, const SeatState& state, double within_mm);

/// Share of the samples within `within_mm` of the shared gap.
double seated_share(const SeatProblem& problem, const SeatState& state, double within_mm);

}  // namespace intercusp
