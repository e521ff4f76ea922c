#pragma once

#include <utility>
#include <vector>

#include "anatomy/landmarks.h"

namespace intercusp {

/// The teeth of one arch by its landmarks on crowns, for many questions.
class TeethOfArch {
 public:
  TeethOfArch(const PointMap& points, Jaw jaw);
  /// The tooth nearest to a point of the arch; 0 when none is near (6 mm). O(landmarks of the arch).
  int at(const Vec3& place) const;

 private:
  std::vector<std::pair<Vec3, int>> marks_;
};

/// The same for one question. O(points).
int tooth_at(const PointMap& points, const Vec3& at, Jaw jaw);

}  // namespace intercusp
