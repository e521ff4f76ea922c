// What every settling needs first: the checks, and the question put to the search.
#pragma once

#include "occlusion/seat_search.h"
#include "occlusion/settle.h"

namespace intercusp {

/// Error for a missing scan, a frame that is not known, a pin that cannot be met.
Status check_settle(const MeasureInput& input, const SettleSettings& settings);

/// Both arches as the search takes them. Refers to both arguments. O(vertices x landmarks).
SeatQuestion seat_question(const MeasureInput& input, const SettleSettings& settings);

Error no_chewing_surfaces();
Error nothing_seats();
Error settling_cancelled();

}  // namespace intercusp
