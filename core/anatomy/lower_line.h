#pragma once

#include <optional>

#include "anatomy/arch_curve.h"

namespace intercusp {

/// The line of contacts of one half of the lower arch: a smooth front part from the midline to the mesial contact of
/// the first molar, which then follows the guide line under the upper teeth.
struct LowerLineRequest {
  Vec2 apex = Vec2::Zero();        ///< front end, in half-arch axes (x outwards, y backwards) of the upper arch
  double molar_at = 0;             ///< arc position on the guide of the first molar's mesial contact
  std::array<double, 5> widths{};  ///< of the five teeth in front of it
};

/// The line relative to its apex, as full as the five teeth need. `spacing` is 1 where they just touch; where no line
/// is short or long enough they stand a little apart or overlap (mild crowding), at most by 6% of their widths.
struct LowerLine {
  ArchLine line;
  double spacing = 1;
};

/// Empty when the teeth would have to be spaced or crowded more than that.
std::optional<LowerLine> lower_line(const ArchLine& guide, const LowerLineRequest& request);

}  // namespace intercusp
