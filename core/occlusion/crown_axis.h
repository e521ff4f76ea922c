#pragma once

#include <optional>
#include <vector>

#include "occlusion/reading.h"

namespace intercusp {

/// Inclination and angulation of a front tooth's crown from its facial axis, degrees.
struct CrownAxis {
  double inclination_deg = 0, angulation_deg = 0;
};

/// The landmarks read of a front tooth.
Names crown_axis_points(int tooth);

/// Needs the frame and those landmarks.
CrownAxis crown_axis(const MeasureInput& in, int tooth);

/// Mean inclination of those of the teeth that can be read; empty where none can or there is no frame.
std::optional<double> mean_inclination(const MeasureInput& in, const std::vector<int>& teeth);

}  // namespace intercusp
