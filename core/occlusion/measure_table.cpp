#include "occlusion/groups.h"
#include "occlusion/measure.h"

namespace intercusp {
namespace {

std::vector<MeasureDefinition> make_table() {
  std::vector<MeasureDefinition> table;
  for (const auto group : {incisor_measures, midline_measures, side_relation_measures, premolar_measures,
                           angle_class_measures, crossbite_measures, lateral_open_bite_measures, arch_width_measures,
                           arch_form_measures, tooth_size_measures, tooth_size_excess_measures, curve_of_spee_measures,
                           curve_of_wilson_measures, crown_axis_measures, head_measures, contact_measures}) {
    for (MeasureDefinition& d : group()) table.push_back(std::move(d));
  }
  return table;
}

}  // namespace

const std::vector<MeasureDefinition>& measure_table() {
  static const std::vector<MeasureDefinition> table = make_table();
  return table;
}

const MeasureDefinition* find_measure(const std::string& id) {
  for (const MeasureDefinition& d : measure_table()) {
    if (d.id == id) return &d;
  }
  return nullptr;
}

std::vector<MeasureRow> measure_all(const MeasureInput& input) {
  std::vector<MeasureRow> rows;
  for (const MeasureDefinition& d : measure_table()) {
    MeasureRow row;
    row.definition = &d;
    row.needs = d.missing(input);
    if (row.needs.empty()) row.value = d.measure(input);
    rows.push_back(std::move(row));
  }
  return rows;
}

}  // namespace intercusp
