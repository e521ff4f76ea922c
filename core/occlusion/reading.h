// What the groups of measures share: looking points up, saying what is missing, carrying landmark error into a value.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "occlusion/measure.h"

namespace intercusp {

using Names = std::vector<std::string>;

/// "16.mesiobuccal_cusp" from its parts.
std::string tooth_point(int tooth, const char* feature);

bool has_point(const MeasureInput& input, const std::string& name);

/// The point of a landmark that `missing` has found to be there.
const Vec3& point_of(const MeasureInput& input, const std::string& name);

/// Those of `names` that are not placed, in order.
Names absent(const MeasureInput& input, const Names& names);

/// The same, preceded by what the occlusal frame still needs.
Names absent_with_frame(const MeasureInput& input, const Names& names);

/// One standard deviation of a coordinate of a landmark, mm: `settings.landmark_sd_mm`, or its own where it is less
/// sure.
double landmark_sd(const MeasureInput& input, const std::string& name);
/// The sum of its squares over landmarks, mm2.
double landmark_variance(const MeasureInput& input, const Names& names);

/// One standard deviation of `value` when every coordinate of every named landmark that is placed, and of the landmarks
/// of the occlusal frame, is off by its landmark_sd independently. By central differences: the frame is taken
/// again for each displaced landmark, so that its own error is carried along. O(landmarks) evaluations.
double propagated_sd(const MeasureInput& input, const Names& names,
                     const std::function<double(const MeasureInput&)>& value);

}  // namespace intercusp
