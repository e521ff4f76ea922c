// Building blocks of simple solids, mirrored across the midsagittal plane.
#pragma once

#include <vector>

#include "anatomy/isosurface.h"

namespace intercusp {

/// A rod whose radius changes from one end to the other.
struct Rod {
  Vec3 from = Vec3::Zero(), to = Vec3::Zero();
  double radius_from = 5, radius_to = 5;
  double value(const Vec3& p) const;
};

struct RoundBox {
  Vec3 low = Vec3::Zero(), high = Vec3::Ones();
  double edge_radius = 3;
  double value(const Vec3& p) const;
};

struct Ellipsoid {
  Vec3 centre = Vec3::Zero(), radii = Vec3::Ones();
  double value(const Vec3& p) const;
};

/// Union of rods, boxes and ellipsoids, less the hollows; x is taken without its sign, so both sides are the same.
class MirroredSolid : public ScalarField {
 public:
  std::vector<Rod> rods;
  std::vector<RoundBox> boxes;
  std::vector<Ellipsoid> ellipsoids, hollows;
  double blend_mm = 3;  ///< rounding of the joints

  double value(const Vec3& p) const override;
  Box box() const;
};

}  // namespace intercusp
