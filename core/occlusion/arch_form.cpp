#include "occlusion/groups.h"
#include "occlusion/reading.h"

namespace intercusp {
namespace {

struct Arch {
  const char* word;
  int right, left;  // quadrants
};
constexpr Arch kUpperArch{"upper", 1, 2};
constexpr Arch kLowerArch{"lower", 4, 3};

std::string mesial_contact(int quadrant, int position) {
  return tooth_point(10 * quadrant + position, "contact_mesial");
}

Names depth_points(const Arch& a) {
  return {mesial_contact(a.right, 1), mesial_contact(a.left, 1), mesial_contact(a.right, 6), mesial_contact(a.left, 6)};
}

Vec3 front_of(const MeasureInput& in, const Arch& a) {
  return 0.5 * (point_of(in, mesial_contact(a.right, 1)) + point_of(in, mesial_contact(a.left, 1)));
}

// From the line between the first molars to the front, perpendicular to it, in the occlusal plane.
Vec3 depth_vector(const MeasureInput& in, const Arch& a) {
  const auto flat = [&in](const Vec3& v) { return Vec3(v - in.frame->up * in.frame->up.dot(v)); };
  const Vec3& right = point_of(in, mesial_contact(a.right, 6));
  const Vec3 line = flat(point_of(in, mesial_contact(a.left, 6)) - right).stableNormalized();
  const Vec3 to_front = flat(front_of(in, a) - right);
  return to_front - line * line.dot(to_front);
}

MeasureDefinition arch_depth(const Arch& a, double least, double most) {
  MeasureDefinition d;
  d.id = std::string("arch_depth_") + a.word;
  d.name = std::string("Arch depth, ") + a.word;
  d.definition = std::string(
                     "Distance of the midpoint of the two central incisors' mesial contact points from the line "
                     "through the mesial contact points of the first molars, perpendicular to that line, all "
                     "projected on the occlusal plane; ") +
                 a.word + " arch.";
  d.usual = {{least, most}};
  d.needs = depth_points(a);
  d.missing = [needs = d.needs](const MeasureInput& in) { return absent_with_frame(in, needs); };
  d.measure = [a](const MeasureInput& in) {
    MeasureValue v;
    const Vec3 depth = depth_vector(in, a), front = front_of(in, a);
    v.value = depth.norm();
    v.uncertainty =
        propagated_sd(in, depth_points(a), [&a](const MeasureInput& x) { return depth_vector(x, a).norm(); });
    v.construct = {{"distance", {front - depth, front}, ""},
                   {"line", {point_of(in, mesial_contact(a.right, 6)), point_of(in, mesial_contact(a.left, 6))}, ""}};
    return v;
  };
  return d;
}

// The corners of the perimeter from the right first molar to the left, the front as the middle of two points.
std::vector<Vec3> perimeter_path(const MeasureInput& in, const Arch& a) {
  std::vector<Vec3> path;
  for (const int position : {6, 4, 3}) path.push_back(point_of(in, mesial_contact(a.right, position)));
  path.push_back(front_of(in, a));
  for (const int position : {3, 4, 6}) path.push_back(point_of(in, mesial_contact(a.left, position)));
  return path;
}

double perimeter(const MeasureInput& in, const Arch& a) {
  const std::vector<Vec3> path = perimeter_path(in, a);
  double sum = 0;
  for (std::size_t i = 1; i < path.size(); ++i) sum += (path[i] - path[i - 1]).norm();
  return sum;
}

Names perimeter_points(const Arch& a) {
  Names out;
  for (const int quadrant : {a.right, a.left}) {
    for (const int position : {1, 3, 4, 6}) out.push_back(mesial_contact(quadrant, position));
  }
  return out;
}

MeasureDefinition arch_perimeter(const Arch& a, double least, double most) {
  MeasureDefinition d;
  d.id = std::string("arch_perimeter_") + a.word;
  d.name = std::string("Arch perimeter, ") + a.word;
  d.definition =
      std::string("Length of the ") + a.word +
      " arch from the mesial contact point of one first molar to that of the other in six straight pieces: "
      "on each side to the mesial contact point of the first premolar, from there to that of the canine, and "
      "from there to the midpoint of the two central incisors' mesial contact points.";
  d.usual = {{least, most}};
  d.needs = perimeter_points(a);
  d.missing = [needs = d.needs](const MeasureInput& in) { return absent(in, needs); };
  d.measure = [a](const MeasureInput& in) {
    MeasureValue v;
    v.value = perimeter(in, a);
    v.uncertainty = propagated_sd(in, perimeter_points(a), [&a](const MeasureInput& x) { return perimeter(x, a); });
    v.construct = {{"path", perimeter_path(in, a), ""}};
    return v;
  };
  return d;
}

Names width_points(const Arch& a) {
  Names out;
  for (const int quadrant : {a.right, a.left}) {
    for (int position = 1; position <= 5; ++position) {
      out.push_back(mesial_contact(quadrant, position));
      out.push_back(tooth_point(10 * quadrant + position, "contact_distal"));
    }
  }
  return out;
}

double crowding_of(const MeasureInput& in, const Arch& a) {
  const Names widths = width_points(a);
  double sum = 0;
  for (std::size_t i = 0; i < widths.size(); i += 2) {
    sum += (point_of(in, widths[i]) - point_of(in, widths[i + 1])).norm();
  }
  return sum - perimeter(in, a);
}

MeasureDefinition crowding(const Arch& a) {
  MeasureDefinition d;
  d.id = std::string("crowding_") + a.word;
  d.name = std::string("Crowding, ") + a.word;
  d.definition = std::string(
                     "The sum of the mesiodistal widths (mesial to distal contact point) of the ten teeth from "
                     "second premolar to second premolar less the arch perimeter (as there); ") +
                 a.word + " arch. Every one of these teeth is needed.";
  d.usual = {{-1.0, 1.0}};
  d.usual_source = "ABO Discrepancy Index, which scores crowding from 1 mm (Cangialosi et al. 2004)";
  d.positive = "teeth wider than the arch is long (crowding)";
  d.negative = "arch longer than the teeth are wide (spacing)";
  d.sides = BriefSides{"crowded", "spaced"};
  d.needs = width_points(a);
  for (const int quadrant : {a.right, a.left}) d.needs.push_back(mesial_contact(quadrant, 6));
  d.missing = [needs = d.needs](const MeasureInput& in) { return absent(in, needs); };
  d.measure = [a, needs = d.needs](const MeasureInput& in) {
    MeasureValue v;
    v.value = crowding_of(in, a);
    v.uncertainty = propagated_sd(in, needs, [&a](const MeasureInput& x) { return crowding_of(x, a); });
    const Names widths = width_points(a);
    v.construct = {{"path", perimeter_path(in, a), ""}};
    for (std::size_t i = 0; i < widths.size(); i += 2) {
      v.construct.push_back({"line", {point_of(in, widths[i]), point_of(in, widths[i + 1])}, ""});
    }
    return v;
  };
  return d;
}

}  // namespace

std::vector<MeasureDefinition> arch_form_measures() {
  std::vector<MeasureDefinition> out = {
      arch_depth(kUpperArch, 25, 32),     arch_depth(kLowerArch, 20, 28), arch_perimeter(kUpperArch, 70, 82),
      arch_perimeter(kLowerArch, 62, 74), crowding(kUpperArch),           crowding(kLowerArch)};
  for (MeasureDefinition& d : out) {
    d.unit = "mm";
    d.group = "arch form";
    d.source = "common practice, no source";
    if (d.usual_source.empty()) d.usual_source = "adults: common practice, no source";
  }
  return out;
}

}  // namespace intercusp
