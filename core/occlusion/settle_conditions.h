#pragma once

#include <vector>

#include "occlusion/seat_fit.h"
#include "occlusion/settle.h"

namespace intercusp {

/// The pinned values as distances to be met once the lower arch has made `motion`. Needs the frame and what the pinned
/// measures read.
std::vector<SeatCondition> settle_conditions(const MeasureInput& input, const SettleSettings& settings,
                                             const Pose& motion);

/// Error for a pin that is no measure that can be pinned, or whose landmarks are missing.
Status check_pins(const MeasureInput& input, const SettleSettings& settings);

}  // namespace intercusp
