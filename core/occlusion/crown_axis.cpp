#include "occlusion/crown_axis.h"

#include <array>
#include <cmath>

#include "anatomy/notation.h"
#include "occlusion/groups.h"

namespace intercusp {
namespace {

struct Average {
  double angulation, angulation_sd, inclination, inclination_sd;
};
// Andrews, Straight-Wire: The Concept and Appliance (1989), n = 120; from memory.
constexpr std::array<Average, 3> kUpperAverage = {
    {{3.59, 1.65, 6.11, 3.97}, {8.04, 2.80, 4.42, 4.38}, {8.40, 2.97, -7.25, 4.21}}};
constexpr std::array<Average, 3> kLowerAverage = {
    {{0.53, 1.29, -1.71, 5.79}, {0.38, 1.47, -3.24, 5.37}, {2.48, 3.28, -12.73, 4.65}}};

const Average& average_of(int tooth) {
  return (is_upper(tooth) ? kUpperAverage : kLowerAverage)[static_cast<std::size_t>(position(tooth) - 1)];
}

std::vector<int> front_teeth(bool upper) {
  return upper ? std::vector<int>{13, 12, 11, 21, 22, 23} : std::vector<int>{43, 42, 41, 31, 32, 33};
}

bool axis_placed(const MeasureInput& in, int tooth) {
  return absent(in, crown_axis_points(tooth)).empty();
}

std::vector<int> readable(const MeasureInput& in, const std::vector<int>& teeth) {
  std::vector<int> out;
  for (const int tooth : teeth) {
    if (axis_placed(in, tooth)) out.push_back(tooth);
  }
  return out;
}

Names all_points(const std::vector<int>& teeth) {
  Names out;
  for (const int tooth : teeth) {
    for (const std::string& name : crown_axis_points(tooth)) out.push_back(name);
  }
  return out;
}

std::vector<Construct> drawn_axis(const MeasureInput& in, int tooth) {
  const Names n = crown_axis_points(tooth);
  const Vec3 &gum = point_of(in, n[0]), &edge = point_of(in, n[1]);
  const double towards = is_upper(tooth) ? -1 : 1;
  const Vec3 upright = gum + towards * (edge - gum).norm() * in.frame->up;
  return {{"line", {gum, edge}, std::to_string(tooth)}, {"line", {gum, upright}, ""}};
}

Names missing_axes(const MeasureInput& in, const std::vector<int>& teeth) {
  if (!readable(in, teeth).empty()) return absent_with_frame(in, {});
  Names fewest;
  for (const int tooth : teeth) {
    const Names lacks = absent(in, crown_axis_points(tooth));
    if (fewest.empty() || lacks.size() < fewest.size()) fewest = lacks;
  }
  return absent_with_frame(in, fewest);
}

constexpr const char* kAxisWords =
    "The facial axis of a crown is taken from the gingival margin (gingival_mid) to the labial line angle of the edge "
    "(incisal_edge_labial), both in the middle, as the chord that is parallel to the tangent at its midpoint. n is the "
    "direction of u pointing to the chewing side (-u for upper teeth, u for lower), m the direction from "
    "contact_distal "
    "to contact_mesial projected on the occlusal plane, and b, perpendicular to both u and m, points to the lip. ";
constexpr const char* kInclinationWords =
    "Inclination: the angle from n to the axis seen along m, positive where the edge lies labial of the gingival end. ";
constexpr const char* kAngulationWords =
    "Angulation: the angle from n to the axis seen along b, positive where the edge lies mesial of the gingival end. ";

MeasureDefinition central_inclination(bool upper) {
  const std::vector<int> teeth = upper ? std::vector<int>{11, 21} : std::vector<int>{41, 31};
  const Average& usual = average_of(teeth[0]);
  MeasureDefinition d;
  d.id = std::string("incisor_inclination_") + (upper ? "upper" : "lower");
  d.name = std::string("Incisor inclination, ") + (upper ? "upper" : "lower");
  d.definition = std::string(kAxisWords) + kInclinationWords + "The mean of " + std::to_string(teeth[0]) + " and " +
                 std::to_string(teeth[1]) + ", of one of them where the other cannot be read; each is reported.";
  d.usual = {{usual.inclination - usual.inclination_sd, usual.inclination + usual.inclination_sd}};
  d.positive = "edges labial of the gingival margin (proclined)";
  d.negative = "edges lingual of the gingival margin (retroclined)";
  d.sides = BriefSides{"procl", "retrocl"};
  d.needs = all_points(teeth);
  d.missing = [teeth](const MeasureInput& in) { return missing_axes(in, teeth); };
  d.measure = [teeth](const MeasureInput& in) {
    MeasureValue v;
    v.value = *mean_inclination(in, teeth);
    v.uncertainty = propagated_sd(in, all_points(readable(in, teeth)),
                                  [&teeth](const MeasureInput& x) { return *mean_inclination(x, teeth); });
    for (const int tooth : readable(in, teeth)) {
      v.pairs.push_back({std::to_string(tooth), crown_axis(in, tooth).inclination_deg});
      for (Construct& c : drawn_axis(in, tooth)) v.construct.push_back(std::move(c));
    }
    return v;
  };
  return d;
}

// How far a tooth's angle is from the average one.
double departure(const MeasureInput& in, int tooth, bool inclination) {
  const CrownAxis axis = crown_axis(in, tooth);
  const Average& usual = average_of(tooth);
  return inclination ? axis.inclination_deg - usual.inclination : axis.angulation_deg - usual.angulation;
}

MeasureValue measure_departure(const MeasureInput& in, const std::vector<int>& teeth, bool inclination) {
  constexpr double kEqualDeg = 1e-6;
  MeasureValue v;
  int worst = 0;
  for (const int tooth : readable(in, teeth)) {
    const double off = departure(in, tooth, inclination);
    const CrownAxis axis = crown_axis(in, tooth);
    v.pairs.push_back({std::to_string(tooth), inclination ? axis.inclination_deg : axis.angulation_deg});
    if (worst != 0 && std::abs(off) <= std::abs(v.value) + kEqualDeg) continue;
    worst = tooth;
    v.value = off;
  }
  v.uncertainty = propagated_sd(in, crown_axis_points(worst), [worst, inclination](const MeasureInput& x) {
    return departure(x, worst, inclination);
  });
  v.finding = std::to_string(worst);
  v.construct = drawn_axis(in, worst);
  return v;
}

MeasureDefinition departure_measure(bool upper, bool inclination) {
  const std::vector<int> teeth = front_teeth(upper);
  const std::string arch = upper ? "upper" : "lower", angle = inclination ? "inclination" : "angulation";
  MeasureDefinition d;
  d.id = "crown_" + angle + "_" + arch;
  d.name = "Crown " + angle + ", " + arch + " front";
  std::string averages;
  for (const int tooth : {teeth[2], teeth[1], teeth[0]}) {
    char text[48];
    const Average& a = average_of(tooth);
    std::snprintf(text, sizeof text, "%s%.2f for %d", averages.empty() ? "" : ", ",
                  inclination ? a.inclination : a.angulation, tooth);
    averages += text;
  }
  d.definition =
      std::string(kAxisWords) + (inclination ? kInclinationWords : kAngulationWords) +
      "Each front tooth is reported; the value is the largest departure by magnitude from Andrews' average (" +
      averages +
      ", the same on the left), of those equal within a millionth of a degree the first from the "
      "patient's right.";
  const double sd = 2 * (inclination ? average_of(teeth[0]).inclination_sd : average_of(teeth[0]).angulation_sd);
  d.usual = {{-sd, sd}};
  d.positive = inclination ? "edge farther labial than Andrews' average" : "edge farther mesial than Andrews' average";
  d.negative = inclination ? "edge farther lingual than Andrews' average" : "edge farther distal than Andrews' average";
  d.sides = inclination ? BriefSides{"labial", "lingual"} : BriefSides{"mesial", "distal"};
  d.needs = all_points(teeth);
  d.missing = [teeth](const MeasureInput& in) { return missing_axes(in, teeth); };
  d.measure = [teeth, inclination](const MeasureInput& in) { return measure_departure(in, teeth, inclination); };
  return d;
}

}  // namespace

Names crown_axis_points(int tooth) {
  return {tooth_point(tooth, "gingival_mid"), tooth_point(tooth, "incisal_edge_labial"),
          tooth_point(tooth, "contact_mesial"), tooth_point(tooth, "contact_distal")};
}

CrownAxis crown_axis(const MeasureInput& in, int tooth) {
  const Names n = crown_axis_points(tooth);
  const Vec3& up = in.frame->up;
  const Vec3 axis = point_of(in, n[1]) - point_of(in, n[0]);
  const Vec3 across = point_of(in, n[2]) - point_of(in, n[3]);
  const Vec3 mesial = (across - up * up.dot(across)).stableNormalized();
  const Vec3 labial = is_right(tooth) ? mesial.cross(up) : up.cross(mesial);
  const double along = (is_upper(tooth) ? -1 : 1) * axis.dot(up);
  return {degrees(std::atan2(axis.dot(labial), along)), degrees(std::atan2(axis.dot(mesial), along))};
}

std::optional<double> mean_inclination(const MeasureInput& in, const std::vector<int>& teeth) {
  const std::vector<int> found = readable(in, teeth);
  if (!in.frame || found.empty()) return std::nullopt;
  double sum = 0;
  for (const int tooth : found) sum += crown_axis(in, tooth).inclination_deg;
  return sum / static_cast<double>(found.size());
}

std::vector<MeasureDefinition> crown_axis_measures() {
  std::vector<MeasureDefinition> out = {central_inclination(true),      central_inclination(false),
                                        departure_measure(true, true),  departure_measure(false, true),
                                        departure_measure(true, false), departure_measure(false, false)};
  for (MeasureDefinition& d : out) {
    d.unit = "deg";
    d.group = "crown axes";
    d.source =
        "Andrews 1972, Am J Orthod 62:296-309 (keys 2 and 3, signs); the chord for the tangent: common practice, no "
        "source";
    d.usual_source = "Andrews 1989, averages and standard deviations; from memory";
  }
  return out;
}

}  // namespace intercusp
