// The landmarks of one crown in its own axes, found on its surface.
#pragma once

#include <string>
#include <vector>

#include "anatomy/isosurface.h"
#include "anatomy/tooth_surface.h"

namespace intercusp {

/// First place where the solid begins on the way from `from` (outside) along the unit `direction`, as a distance;
/// negative when there is none within `reach_mm`. Within 1e-10 mm, or `within_mm` where less will do.
double surface_along(const ScalarField& field, const Vec3& from, const Vec3& direction, double reach_mm,
                     double within_mm = 1e-12);

/// The top of a crown seen from the chewing side.
class TopOfCrown {
 public:
  explicit TopOfCrown(const CrownForm& form) : form_(form) {}
  /// Point of the surface above (x, y); at the depth of the cervix where the crown does not reach.
  Vec3 point(double x, double y) const;

 private:
  const CrownForm& form_;
};

/// A landmark in tooth axes. `outward`: the direction in which the surface is looked for again once neighbours, gum and
/// wear are there too; zero for a point that is not on the surface (root apices).
struct CrownMark {
  std::string feature;
  Vec3 at = Vec3::Zero();
  Vec3 outward = Vec3::Zero();
};

/// All landmarks of the tooth but its contact points, in the order of landmarks_of_tooth(). The first is the middle of
/// the edge or the tip of the first cusp.
std::vector<CrownMark> crown_marks(const CrownForm& form);

}  // namespace intercusp
