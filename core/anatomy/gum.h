// Gum and base of an arch as an implicit solid.
#pragma once

#include <limits>

#include "anatomy/tooth_surface.h"

namespace intercusp {

/// The gum around one tooth, in the tooth's axes: a collar with a scalloped margin that widens into the alveolar ridge.
struct GumCollar {
  Vec3 origin = Vec3::Zero();
  Mat3 axes = Mat3::Identity();
  double centre_y = 0, half_width = 4, buccal = 3, lingual = 3;  ///< of the tooth at its neck
  double margin_z = -10;                                         ///< height of the margin in the middle of the tooth
  double papilla_mm = 3;                                         ///< how much higher it stands between the teeth
  double flare_buccal = 0.12, flare_lingual = 0.25;              ///< widening per mm of depth
  double lean_x = 0, lean_y = 0;  ///< shift per mm of depth: the ridge follows usual roots where a crown is tilted more

  double value(const Vec3& p) const { return value_below(p, std::numeric_limits<double>::infinity()); }
  /// The same where it is below `limit`; elsewhere any number from there on, for less work.
  double value_below(const Vec3& p, double limit) const;

 private:
  double across_at_least(double y, double qz) const;
};

/// Height of the gum margin on the labial side, in tooth axes: a little in front of the cervix.
double gum_margin_z(const CrownForm& form);

GumCollar gum_collar(const PlacedTooth& tooth);

/// The rounded end of the ridge behind the last tooth.
GumCollar ridge_end(const PlacedTooth& last_tooth);

/// The vault of the palate: what lies above it is solid. Patient frame.
struct Palate {
  double half_width = 20, front_y = 8, centre_y = 26, back_y = 48;
  double rim_z = 6.5, height_mm = 7.5;

  /// 0 in the middle, 1 on the rim, in front; square of a superelliptic distance.
  double rim_square(double x, double y) const;
  double surface_z(double x, double y) const;
  double value(const Vec3& p) const { return value_below(p, std::numeric_limits<double>::infinity()); }
  /// The same where it is below `limit`; elsewhere any number from there on, for less work.
  double value_below(const Vec3& p, double limit) const;
};

}  // namespace intercusp
