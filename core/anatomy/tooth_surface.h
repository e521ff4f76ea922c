// One crown as an implicit solid, and where it stands.
#pragma once

#include "anatomy/crown_form.h"

namespace intercusp {

/// About the distance in mm to the crown (negative inside) of a point in tooth axes. The crown goes on below the cervix
/// as a stub that the gum hides.
double crown_value(const CrownForm& form, const Vec3& p);
/// The same where it is below `limit`; elsewhere any number from there on, for less work.
double crown_value_below(const CrownForm& form, const Vec3& p, double limit);

/// Height z of the chewing surface or cutting edge without the rounding towards the walls.
double top_height(const CrownForm& form, double x, double y);

/// A crown in an arch. `axes` has the directions mesial, buccal, occlusal as columns: orthonormal, left-handed on one
/// side of the mouth.
struct PlacedTooth {
  CrownForm form;
  Vec3 origin = Vec3::Zero();
  Mat3 axes = Mat3::Identity();

  int iso() const { return form.iso; }
  Vec3 local(const Vec3& p) const { return axes.transpose() * (p - origin); }
  Vec3 world(const Vec3& q) const { return origin + axes * q; }
  Vec3 mesial() const { return axes.col(0); }
  Vec3 buccal() const { return axes.col(1); }
  Vec3 occlusal() const { return axes.col(2); }

  /// A ball around the crown: beyond it the distance to the ball stands for the distance to the crown.
  Vec3 ball_centre() const { return world(Vec3(0, form.centre_y, -0.6 * form.crown_length)); }
  double ball_radius() const;
  double value(const Vec3& p) const;
};

}  // namespace intercusp
