// From millimetres to quarter units, class and its probability.
#pragma once

#include <vector>

#include "occlusion/measure.h"

namespace intercusp {

/// Signed whole quarter units of `offset_mm`, ties away from zero: within an eighth of a unit of zero is 0 (Class I),
/// an eighth exactly is one quarter. Offsets within 1e-9 of a unit of a tie count as the tie, so that rounding errors
/// of a rigid motion decide nothing.
int quarter_units(double offset_mm, double unit_mm);

/// "I", "II" or "III" for signed quarter units.
const char* angle_class(int quarters);

/// Probability that the true offset lies in the class of `quarters`, when the reading's error is normal with `sd_mm`.
double class_probability(int quarters, double offset_mm, double unit_mm, double sd_mm);

/// The molar offset of a side along its side direction, mm (as `molar_right`); its landmarks are placed.
double side_offset(const MeasureInput& in, bool right);

/// The quarters whose probability under a normal error of `sd_mm` is at least one in twenty, likeliest first; the
/// quarters read where there is no error.
std::vector<ClassOdds> quarter_odds(double offset_mm, double unit_mm, double sd_mm);

}  // namespace intercusp
