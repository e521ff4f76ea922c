#pragma once

#include <optional>
#include <string>
#include <vector>

#include "anatomy/landmarks.h"
#include "base/result.h"
#include "geometry/types.h"

namespace intercusp {

/// A rigid movement in clinical words, in the axes of the patient frame at rest. Negative = back, down, right.
struct Movement {
  double forward_mm = 0, up_mm = 0, left_mm = 0;
  double pitch_deg = 0;  ///< + front goes up
  double roll_deg = 0;   ///< + the patient's left side goes down
  double yaw_deg = 0;    ///< + front goes to the patient's left
};

inline bool operator==(const Movement& a, const Movement& b) {
  return a.forward_mm == b.forward_mm && a.up_mm == b.up_mm && a.left_mm == b.left_mm && a.pitch_deg == b.pitch_deg &&
         a.roll_deg == b.roll_deg && a.yaw_deg == b.yaw_deg;
}

/// The one function that owns the rotation convention: R = Rz(yaw) * Rx(-pitch) * Ry(roll), roll first.
Mat3 rotation_of(double pitch_deg, double roll_deg, double yaw_deg);

/// The inverse: angles of a rotation, pitch in [-90, 90].
struct Angles {
  double pitch_deg = 0, roll_deg = 0, yaw_deg = 0;
};
Angles angles_of(const Mat3& rotation);

/// Pose change of a movement about `pivot` (where the pivot stands before it), patient frame.
Pose pose_of(const Movement& movement, const Vec3& pivot);
/// The inverse: the movement about `pivot` that is this change of pose.
Movement movement_of(const Pose& change, const Vec3& pivot);

/// What one landmark shall do, in mm; unset components are free.
struct MovementTarget {
  std::string landmark;
  std::optional<double> forward_mm, up_mm, left_mm;
};

/// The smallest movement about `pivot` that gives every target its components, keeping each quantity in `fixed` that is
/// set. `points` holds the landmarks where the segment stands. Smallest: least sum of squares over the free quantities,
/// one degree weighed like one millimetre (what one degree moves a point 57 mm from the pivot, about the length of an
/// arch). Targets are met within 1e-6 mm. Error when targets contradict each other (says which and by how much).
struct FixedQuantities {
  std::optional<double> forward_mm, up_mm, left_mm, pitch_deg, roll_deg, yaw_deg;
};
Result<Movement> solve_movement(const PointMap& points, const Vec3& pivot, const std::vector<MovementTarget>& targets,
                                const FixedQuantities& fixed);

/// What a solved movement leaves of one wish.
struct TargetMiss {
  std::string landmark;
  std::string word;  ///< "forward", "up", "to the left"
  double wanted_mm = 0;
  double miss_mm = 0;  ///< reached minus wanted
};
struct FittedMovement {
  Movement movement;
  std::vector<TargetMiss> misses;  ///< one for each component wished, in the order of the targets
  double rms_mm = 0;
};
/// As solve_movement, but targets that contradict each other are met as nearly as possible: least sum of the squared
/// misses. Error only for landmarks that are not placed.
Result<FittedMovement> fit_movement(const PointMap& points, const Vec3& pivot,
                                    const std::vector<MovementTarget>& targets, const FixedQuantities& fixed);

/// What every landmark does between two moments, in clinical directions.
struct LandmarkShift {
  std::string landmark;
  double forward_mm = 0, up_mm = 0, left_mm = 0;
};
/// For the landmarks that both maps hold, in the order of their names.
std::vector<LandmarkShift> landmark_shifts(const PointMap& before, const PointMap& after);

}  // namespace intercusp
