#pragma once

#include <vector>

#include "base/progress.h"
#include "base/result.h"
#include "geometry/surface.h"

namespace intercusp {

/// The rigid motion that carries points onto their partners best in the sense of least squares.
struct LandmarkFit {
  Pose motion = Pose::Identity();  ///< to_from_from
  double rms_mm = 0;               ///< root mean square of what is left
  std::vector<double> left_mm;     ///< per point
};

/// Closed form (Kabsch 1976; Umeyama 1991 for the case of a mirror image, which is never chosen). Error for fewer than
/// three points, for lists of different length and for points on one line. O(n).
Result<LandmarkFit> fit_landmarks(const std::vector<Vec3>& from, const std::vector<Vec3>& to);

struct RegistrationSettings {
  double reach_mm = 5;  ///< pairs farther apart are not used
  double kept = 0.9;    ///< share of the pairs that is used, the nearest ones
  int most_rounds = 100;
  double settled_mm = 1e-5;  ///< done when no point of the moving surface moves by more in a round
};

struct Registration {
  Pose motion = Pose::Identity();  ///< target_from_moving
  double rms_mm = 0;               ///< root mean square distance from the tangent planes of the pairs used
  std::size_t pairs = 0;           ///< used in the last round
  int rounds = 0;
  bool settled = false;     ///< false: `most_rounds` did not suffice
  double last_move_mm = 0;  ///< the farthest that a point moved in the last round
};

/// Moves a surface onto another from `start`: point-to-plane iterated closest points (Chen & Medioni 1992), trimmed
/// (Chetverikov et al. 2002). Every vertex takes part in the last rounds, every 16th of many in the first; pairs on an
/// open border do not count. Error when too few pairs are within reach, when the pairs leave a way to slide or turn
/// open, or when cancelled. O(n log n) a round, on two threads where there are two; the same answer on one.
Result<Registration> register_surfaces(const Surface& moving, const Surface& target, const Pose& start,
                                       const RegistrationSettings& settings, const Progress& progress = Progress());

}  // namespace intercusp
