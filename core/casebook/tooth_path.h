// Whether the teeth pass through each other on the way of a movement, not only where it ends.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "casebook/case.h"

namespace intercusp {

/// The deepest overlap of the arches on the way of one entry of a plan.
struct PathOverlap {
  std::size_t entry = 0;  ///< of the plan, from 0
  double share = 0;       ///< of the entry's movement done when they overlap deepest, within 0..1
  double deepest_mm = 0;
  double deepest_at_ends_mm = 0;         ///< before and after that entry, the larger
  int upper_tooth = 0, lower_tooth = 0;  ///< 0 where no landmark names the tooth
};

/// Every movement and closing of the plan whose way is worse than its ends, in order. `c` as with_cuts gives it.
/// Amounts and angles of an entry grow together from nothing; the way is looked at every half millimetre that the
/// fastest landmark goes (at least four and at most sixty times: farther apart beyond 30 mm), so that an overlap
/// shorter than that can be missed by at most a quarter of a millimetre of depth. One query of the arches a look. Empty
/// without both arches.
std::vector<PathOverlap> overlaps_on_the_way(const Case& c, const Plan& plan);

/// "11 on 42", "upper on lower teeth" where no landmark names them.
std::string teeth_words(const PathOverlap& way);
/// {"step" (from 1), "share", "deepest_mm", "deepest_at_ends_mm", "teeth": [upper, lower] or null}
nlohmann::json way_row(const PathOverlap& way);

}  // namespace intercusp
