// The groups of the measure table, each in the file of its name. `measure_table` puts them in order.
#pragma once

#include <vector>

#include "occlusion/measure.h"

namespace intercusp {

std::vector<MeasureDefinition> incisor_measures();
std::vector<MeasureDefinition> midline_measures();
std::vector<MeasureDefinition> side_relation_measures();
std::vector<MeasureDefinition> arch_width_measures();
std::vector<MeasureDefinition> tooth_size_measures();
std::vector<MeasureDefinition> curve_of_spee_measures();
std::vector<MeasureDefinition> premolar_measures();
std::vector<MeasureDefinition> angle_class_measures();
std::vector<MeasureDefinition> crossbite_measures();
std::vector<MeasureDefinition> lateral_open_bite_measures();
std::vector<MeasureDefinition> tooth_size_excess_measures();
std::vector<MeasureDefinition> arch_form_measures();
std::vector<MeasureDefinition> curve_of_wilson_measures();
std::vector<MeasureDefinition> crown_axis_measures();
std::vector<MeasureDefinition> head_measures();
std::vector<MeasureDefinition> contact_measures();

}  // namespace intercusp
