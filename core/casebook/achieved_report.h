#pragma once

#include <nlohmann/json_fwd.hpp>

#include "casebook/achieved.h"

namespace intercusp {

/// {"planned","plan","achieved","laid_on","residual_mm","segments":[{"segment","body","residual_mm","planned","achieved",
/// "difference","words","largest_mm"}],"measures":[{"id","name","unit","start","planned","achieved","difference"}],
/// "condyles":[...] as achieved (see condyle_report), "not_compared":[sentences],"caution"}. Movements are
/// {"forward_mm", "up_mm","left_mm","pitch_deg","roll_deg","yaw_deg"}. The landmarks are those of the planned case,
/// carried to where their segments came to stand, so that both readings rest on the same points.
nlohmann::json achieved_report(const Case& planned, const Plan& plan, const SegmentPoses& poses,
                               const Achieved& achieved, const std::string& achieved_id);

}  // namespace intercusp
