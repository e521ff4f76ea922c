// From many starts down to the few places in which one arch, or a piece of one, seats on the other.
#pragma once

#include <optional>
#include <vector>

#include "base/progress.h"
#include "occlusion/seat_fit.h"

namespace intercusp {

/// What is sought: both arches with all points of their chewing surfaces, patient frame.
struct SeatQuestion {
  PosedSurface upper, lower;
  std::vector<Vec3> upper_points, lower_points;
  std::vector<Vec3> watched;  ///< points of the lower arch: places that hold all of them near to each other are one
  std::function<std::vector<SeatCondition>(const Pose& motion)> conditions;  ///< may be empty
};

/// A part of longer work and its share of the whole.
struct ProgressPart {
  const Progress& whole;
  double from = 0, to = 1;
  void report(double share) const { whole.report(from + (to - from) * share); }
};

/// The search of one question: ever finer samples, ever shorter reach, ever fewer states. Deterministic.
class SeatSearch {
 public:
  explicit SeatSearch(const SeatQuestion& question);
  SeatSearch(const SeatSearch&) = delete;
  SeatSearch& operator=(const SeatSearch&) = delete;

  /// Whether both arches have samples enough for a seat to mean something.
  bool enough() const;

  /// The best `most` different places found from the starts, best first; nothing when cancelled. `near` are starts from
  /// which the first, far-reaching stages would only lead away. O(starts x samples x log n). `finest` false leaves the
  /// last and costliest stage to whoever goes on from there.
  std::optional<std::vector<SeatState>> run(std::vector<SeatState> starts, const std::vector<SeatState>& near,
                                            std::size_t most, bool finest, const ProgressPart& progress) const;

  const SeatProblem& middle() const { return problems_[1]; }
  const SeatProblem& fine() const { return problems_[2]; }

 private:
  void lay_grid();
  bool fit(std::size_t level, std::vector<SeatState>& states, const std::vector<SeatStage>& stages, double near_mm,
           const ProgressPart& progress, double from, double to) const;
  double apart(const SeatState& a, const SeatState& b) const;
  void keep(std::vector<SeatState>& states, std::size_t most, double same_mm) const;

  std::vector<SeatProblem> problems_;  // coarse, middle, fine
  DistanceGrid grid_;
  std::vector<Vec3> watched_;
};

/// The same problem with only the samples near by at that state, fitted through the stages.
SeatState fit_through(const SeatProblem& problem, SeatState from, const std::vector<SeatStage>& stages, double near_mm);

}  // namespace intercusp
