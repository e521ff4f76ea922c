// The shape of one crown as numbers. Tooth axes: x mesial, y buccal (labial), z occlusal; z = 0 is the level of the
// cutting edge or of the highest buccal cusp, x = y = 0 lies midway between the contact points. Millimetres.
#pragma once

#include <array>
#include <vector>

#include "anatomy/superellipse.h"
#include "geometry/types.h"

namespace intercusp {

/// A cusp: a rounded pyramid whose four edges are its ridges.
struct Cusp {
  Vec3 tip = Vec3::Zero();
  double slope_mesiodistal = 0.5, slope_buccolingual = 0.6;
  double round_mm = 0.6;
};

/// A ridge between two points of the chewing surface (marginal ridge, oblique ridge).
struct Ridge {
  Vec3 from = Vec3::Zero(), to = Vec3::Zero();
  double slope = 0.9;
  double round_mm = 0.4;
};

/// A groove that runs from the rim down a wall.
struct WallGroove {
  bool buccal = true;
  double x = 0, depth_mm = 0.4, half_width_mm = 0.7, reach_mm = 4;
};

/// The cutting edge of a front tooth: highest at `tip_x`, falling to both sides.
struct CuttingEdge {
  double tip_x = 0, slope_mesial = 0.02, slope_distal = 0.05, round_mm = 0.5;
};

/// The hollow on the inner side of a front tooth.
struct LingualHollow {
  double depth_mm = 0, half_width_mm = 2, centre_depth_mm = 4, half_height_mm = 2.5;
  double mid_ridge = 0;  ///< 0..1, how much of the hollow a ridge in its middle fills (canines)
};

/// Half widths of the crown over the depth below z = 0, smooth through the knots.
class CrownWalls {
 public:
  static constexpr std::size_t kKnots = 8;
  enum Side { mesial, distal, buccal, lingual };
  using Row = std::array<double, kKnots>;

  /// `depth` ascending; `half_width[side][knot]`. Monotone between the knots, so the largest knot is the largest width.
  CrownWalls() = default;
  CrownWalls(const Row& depth, const std::array<Row, 4>& half_width);

  std::array<double, 4> at(double depth_mm) const;
  const Row& depth() const { return depth_; }

 private:
  Row depth_{};
  std::array<Row, 4> value_{}, slope_{};
};

struct CrownForm {
  int iso = 11;
  double crown_length = 10, width = 8, thickness = 7;  ///< as in the tooth table
  double centre_y = 0;                                 ///< of the outline, against the line of contacts
  double contact_depth_mesial = 2, contact_depth_distal = 2;
  CrownWalls walls;
  const OutlineNorm* outline = &OutlineNorm::of(2.5);  ///< seen from above: exponent 2 is an ellipse, more is squarer
  double lingual_taper = 0;                            ///< how much narrower the lingual end is, as a fraction
  double shear = 0;                                    ///< rhombic outline: x shift per y
  double rim_mm = 0.6;                                 ///< rounding between walls and top
  double groove_round_mm = 0.2;
  bool front = true;
  CuttingEdge edge;         ///< front teeth
  LingualHollow hollow;     ///< front teeth
  std::vector<Cusp> cusps;  ///< back teeth, in the order of their landmark names
  std::vector<Ridge> ridges;
  std::vector<WallGroove> grooves;
};

/// Small differences between people, in the sizes of the crown.
struct CrownVariation {
  double scale = 1;        ///< of all lengths
  double cusp_height = 1;  ///< of the differences in height between cusps
};

/// The average crown of a permanent tooth 1..7 of any quadrant (left and right have the same form: the axes mirror).
CrownForm crown_form(int iso, const CrownVariation& variation = {});

}  // namespace intercusp
