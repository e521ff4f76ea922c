// Places on an implicit solid that a definition singles out: the foremost, the deepest, the edge of an opening.
#pragma once

#include "anatomy/isosurface.h"

namespace intercusp {

/// Looks onto a solid along -`towards` from `away_mm` above `base`, which is shifted along `axis`.
struct LineOfSight {
  Vec3 base = Vec3::Zero();
  Vec3 towards = Vec3::UnitZ();  ///< unit; from the solid to the eye
  double away_mm = 20;
  Vec3 axis = Vec3::UnitX();  ///< unit
  double from = -5, to = 5;   ///< mm along the axis that are searched
};

/// What is seen of the solid at `shift` along the axis; 40 mm behind the base where nothing is.
Vec3 seen_at(const ScalarField& solid, const LineOfSight& look, double shift);

/// Nearest to the eye along the axis (`highest`) or, between its neighbours, farthest from it. To 1e-4 mm along the
/// axis, exactly on the surface. Some forty rays.
Vec3 extreme_along(const ScalarField& solid, const LineOfSight& look, bool highest);

/// Nearest to the eye over the plane across `towards`, near the base: compass search, to 1e-4 mm across, exactly
/// on the surface.
Vec3 extreme_near(const ScalarField& solid, const LineOfSight& look);

/// A place on a rim: at each shift along `along` the point nearest to the eye (see extreme_along), of these the one
/// that lies farthest in the direction `wanted`.
Vec3 rim_extreme(const ScalarField& solid, LineOfSight look, const Vec3& along, double from, double to,
                 const Vec3& wanted);

}  // namespace intercusp
