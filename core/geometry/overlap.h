#pragma once

#include "geometry/contact.h"
#include "geometry/inside_parts.h"

namespace intercusp {

/// Where two bodies overlap.
struct Overlap {
  std::vector<OverlapRegion> regions;      ///< deepest first
  std::optional<double> volume_mm3;        ///< of all regions
  double volume_error_mm3 = 0;             ///< bound of what rounding does to it
  std::string volume_why;                  ///< why it is empty
  std::vector<std::uint32_t> pair_region;  ///< per crossing pair: index into `regions`, or kNone for mere touching
};

/// Below this depth an overlap is rounding: the bodies touch.
constexpr double kLeastDepth = 1e-9;
/// Overlaps shallower than that still count when they hold this volume, mm^3 (coinciding bodies).
constexpr double kLeastVolume = 1e-6;

/// Regions are joined through crossing curves and through what these cut off. Area and volume are exact for the
/// triangles up to rounding: each triangle's part inside the other body is bounded by crossing segments and by
/// stretches of its outline, its area follows from that boundary (Green), the volume from the areas of both bodies'
/// parts (Gauss). A body that overlaps itself counts as often as it winds. The deepest point is sought among the
/// vertices inside and along the edges inside; edges deeper by no more than `off_mm` may be passed over. O((k + v) log
/// n) for k crossings and v vertices inside.
Overlap find_overlap(const PosedPair& pair, const Crossings& crossings, const InsideParts& inside,
                     const std::array<VertexGaps, 2>& gaps, double off_mm = 0);

/// The volume alone, without regions and depths; the same number up to the order of summation. Empty where an open
/// body or one that passes through itself does not define it. O(k log n + v) for k crossings and v vertices inside,
/// and O(n) for the marks of vertices.
std::optional<double> overlap_volume(const PosedPair& pair);

}  // namespace intercusp
