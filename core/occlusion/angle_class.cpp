#include <algorithm>

#include "occlusion/crown_axis.h"
#include "occlusion/groups.h"
#include "occlusion/reading.h"
#include "occlusion/relation.h"

namespace intercusp {
namespace {

// Below this mean crown inclination of the upper central incisors a Class II is of division 2.
constexpr double kRetroclinedDeg = 0;

const MeasureDefinition& molar(bool right) {
  static const std::vector<MeasureDefinition> relations = side_relation_measures();
  return relations[right ? 0 : 1];
}

std::string division_words(const MeasureInput& in) {
  const std::optional<double> inclination = mean_inclination(in, {11, 21});
  if (!inclination) return "";
  return *inclination < kRetroclinedDeg ? " division 2" : " division 1";
}

std::string finding_words(const MeasureInput& in, const std::string& right, const std::string& left) {
  const auto full = [&in](const std::string& c) { return "Class " + c + (c == "II" ? division_words(in) : ""); };
  if (right == left) return full(right);
  if (left == "I") return full(right) + ", subdivision right";
  if (right == "I") return full(left) + ", subdivision left";
  return full(right) + " right, " + full(left) + " left";
}

Names mean_names(const MeasureInput& in) {
  Names names;
  for (const bool right : {true, false}) {
    for (const std::string& name : molar(right).needs) names.push_back(name);
    const std::string five = tooth_point(right ? 45 : 35, "contact_mesial");
    if (has_point(in, five)) names.push_back(five);
  }
  return names;
}

MeasureValue measure_angle_class(const MeasureInput& in) {
  const MeasureValue right = molar(true).measure(in), left = molar(false).measure(in);
  MeasureValue v;
  v.value = 0.5 * (right.value + left.value);
  v.uncertainty = propagated_sd(
      in, mean_names(in), [](const MeasureInput& x) { return 0.5 * (side_offset(x, true) + side_offset(x, false)); });
  v.pairs = {{"right", right.value}, {"left", left.value}};
  v.finding = finding_words(in, *right.relation, *left.relation);
  const bool opposite = *right.relation != *left.relation && *right.relation != "I" && *left.relation != "I";
  if (!opposite) v.relation = *right.relation == "I" ? left.relation : right.relation;
  v.probability = *right.probability * *left.probability;
  v.construct = {right.construct.front(), left.construct.front()};
  return v;
}

}  // namespace

std::vector<MeasureDefinition> angle_class_measures() {
  MeasureDefinition d;
  d.id = "angle_class";
  d.name = "Angle class";
  d.unit = "mm";
  d.group = "class";
  d.definition =
      "The class of the bite from the molar relations of both sides (as there). Both sides of one class: that class. "
      "One "
      "side Class I: the class of the other side, subdivision on that side (the side that is abnormal). One side Class "
      "II and the other Class III: both are said and there is no single class. Class II is of division 2 where the "
      "mean "
      "crown inclination of the upper central incisors that can be read is below 0 degrees (retroclined), else of "
      "division 1; where it cannot be read no division is said. The value is the mean of both molar offsets; the "
      "probability is the product of those of the two sides' classes.";
  d.source =
      "Angle 1899, Dental Cosmos 41:248-264; subdivision on the abnormal side: from memory (usage differs: Siegel "
      "2002); "
      "0 degrees as the limit: common practice, no source";
  d.usual = {{-0.875, 0.875}};
  d.usual_source = "Class I at the default unit of 7.0 mm: common practice, no source";
  d.positive = "upper molars mesial of their Class I place on the mean of both sides";
  d.negative = "upper molars distal of their Class I place on the mean of both sides";
  d.sides = BriefSides{"II", "III"};
  for (const bool right : {true, false}) {
    for (const std::string& name : molar(right).needs) d.needs.push_back(name);
  }
  d.missing = [](const MeasureInput& in) {
    Names out = molar(true).missing(in);
    for (const std::string& name : molar(false).missing(in)) {
      if (std::find(out.begin(), out.end(), name) == out.end()) out.push_back(name);
    }
    return out;
  };
  d.measure = measure_angle_class;
  return {d};
}

}  // namespace intercusp
