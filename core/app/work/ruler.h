#pragma once

#include <nlohmann/json_fwd.hpp>

#include "app/work/workspace.h"

namespace intercusp {

/// From the first end of the ruler to the second, mm, along the patient's directions of the occlusal frame (of the
/// patient frame where that is not known).
struct RulerReading {
  double mm = 0;
  double forward_mm = 0, up_mm = 0, left_mm = 0;
};
/// Empty while fewer than two ends are put.
std::optional<RulerReading> ruler_reading(const Workspace& w);
/// "5.3 mm: 5.1 front to back, 1.2 in height"
std::string ruler_words(const RulerReading& reading);

/// {"on","points"}, and of two ends "mm","forward_mm","up_mm","left_mm".
nlohmann::json ruler_json(const Workspace& w);

}  // namespace intercusp
