// Lets lower teeth rise, sink and tilt until they rest in the upper teeth.
#pragma once

#include <vector>

#include "anatomy/arch_field.h"
#include "anatomy/arch_layout.h"

namespace intercusp {

/// Height of the chewing surfaces of the upper crowns over a grid, seen from below. Patient frame. Each node is worked
/// out when it is first asked for: lower teeth ask for less than half of them. For one thread.
class ChewingHeights {
 public:
  ChewingHeights(std::vector<PlacedTooth> upper, const Box& region);
  /// Bilinear; far above all teeth where there is none.
  double at(double x, double y) const;

 private:
  double node(std::size_t i, std::size_t j) const;

  CrownRow upper_;
  Box region_;
  std::size_t columns_, rows_;
  mutable std::vector<double> height_;  ///< by rows; NaN: not asked for yet
};

/// Points of the chewing surface of a crown in tooth axes, as a grid.
std::vector<Vec3> chewing_points(const CrownForm& form);

/// How far the tooth can rise straight before the first of its points meets the upper crowns.
double rise_to_contact(const ArchTooth& tooth, const std::vector<Vec3>& points, const ChewingHeights& upper);

/// Tilts the tooth by at most `most_deg` either way so that, worn by `wear_mm`, it touches in as many of its quarters
/// and over as wide an area as possible.
void tilt_to_rest(ArchTooth& tooth, const std::vector<Vec3>& points, const ChewingHeights& upper, double wear_mm,
                  double most_deg);

}  // namespace intercusp
