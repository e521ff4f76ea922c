#include "occlusion/groups.h"
#include "occlusion/reading.h"

namespace intercusp {
namespace {

struct Width {
  const char* id;
  const char* name;
  const char* arch;
  int right, left;
  const char* feature;
  const char* feature_words;
  double usual_min, usual_max;
};

constexpr Width kWidths[] = {
    {"intercanine_upper", "Intercanine width, upper", "upper", 13, 23, "cusp_tip", "canine cusp tip", 33, 36},
    {"intercanine_lower", "Intercanine width, lower", "lower", 43, 33, "cusp_tip", "canine cusp tip", 25, 27},
    {"intermolar_upper", "Intermolar width, upper", "upper", 16, 26, "mesiobuccal_cusp",
     "mesiobuccal cusp tip of the first molar", 50, 54},
    {"intermolar_lower", "Intermolar width, lower", "lower", 46, 36, "mesiobuccal_cusp",
     "mesiobuccal cusp tip of the first molar", 44, 47},
};

double width_of(const MeasureInput& in, const Names& names) {
  return (point_of(in, names[0]) - point_of(in, names[1])).norm();
}

MeasureValue measure_width(const MeasureInput& in, const Names& names) {
  MeasureValue v;
  v.value = width_of(in, names);
  v.uncertainty = propagated_sd(in, names, [&names](const MeasureInput& x) { return width_of(x, names); });
  v.construct = {{"distance", {point_of(in, names[0]), point_of(in, names[1])}, ""}};
  return v;
}

MeasureDefinition width_measure(const Width& w) {
  MeasureDefinition d;
  d.id = w.id;
  d.name = w.name;
  d.unit = "mm";
  d.group = "arch widths";
  d.definition = std::string("Straight distance in space from the ") + w.feature_words + " on the right (" +
                 std::to_string(w.right) + ") to that on the left (" + std::to_string(w.left) + ").";
  d.source = "common practice, no source";
  d.usual = {{w.usual_min, w.usual_max}};
  d.usual_source =
      "adult range after Moorrees 1959, Moyers et al. 1976, Bishara et al. 1997; from memory, not looked up";
  d.needs = {tooth_point(w.right, w.feature), tooth_point(w.left, w.feature)};
  d.missing = [names = d.needs](const MeasureInput& in) { return absent(in, names); };
  d.measure = [names = d.needs](const MeasureInput& in) { return measure_width(in, names); };
  return d;
}

}  // namespace

std::vector<MeasureDefinition> arch_width_measures() {
  std::vector<MeasureDefinition> out;
  for (const Width& w : kWidths) out.push_back(width_measure(w));
  return out;
}

}  // namespace intercusp
