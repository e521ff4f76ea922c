#include "occlusion/groups.h"
#include "occlusion/reading.h"

namespace intercusp {
namespace {

Names contact_points(int right, int left) {
  return {tooth_point(right, "contact_mesial"), tooth_point(left, "contact_mesial")};
}
const Names& upper_points() {
  static const Names names = contact_points(11, 21);
  return names;
}
const Names& lower_points() {
  static const Names names = contact_points(41, 31);
  return names;
}

Vec3 midline(const MeasureInput& in, const Names& names) {
  return 0.5 * (point_of(in, names[0]) + point_of(in, names[1]));
}

double upper_to_lower(const MeasureInput& in) {
  return (midline(in, upper_points()) - midline(in, lower_points())).dot(in.frame->left);
}

MeasureValue measure_upper_lower(const MeasureInput& in) {
  MeasureValue v;
  v.value = upper_to_lower(in);
  Names names = upper_points();
  names.insert(names.end(), lower_points().begin(), lower_points().end());
  v.uncertainty = propagated_sd(in, names, upper_to_lower);
  const Vec3 upper = midline(in, upper_points()), lower = midline(in, lower_points());
  const Vec3 foot = upper - v.value * in.frame->left;
  v.construct = {{"distance", {foot, upper}, ""},
                 {"line", {foot, lower}, ""},
                 {"point", {upper}, "upper midline"},
                 {"point", {lower}, "lower midline"}};
  return v;
}

MeasureDefinition upper_lower() {
  MeasureDefinition d;
  d.id = "midline_upper_lower";
  d.name = "Midlines, upper to lower";
  d.definition =
      "How far the upper dental midline lies to the patient's left of the lower one, along the direction l of the "
      "maxillary occlusal frame. A dental midline is the midpoint of the mesial contact points of the two central "
      "incisors.";
  d.source = "textbook, from memory";
  d.positive = "upper midline to the patient's left of the lower";
  d.negative = "upper midline to the patient's right of the lower";
  d.sides = BriefSides{"L", "R"};
  d.needs = upper_points();
  d.needs.insert(d.needs.end(), lower_points().begin(), lower_points().end());
  d.missing = [needs = d.needs](const MeasureInput& in) { return absent_with_frame(in, needs); };
  d.measure = measure_upper_lower;
  return d;
}

double to_face(const MeasureInput& in, const Names& names) {
  return (midline(in, names) - in.midsagittal->first).dot(in.midsagittal->second);
}

MeasureValue measure_to_face(const MeasureInput& in, const Names& names) {
  MeasureValue v;
  v.value = to_face(in, names);
  v.uncertainty = propagated_sd(in, names, [&names](const MeasureInput& x) { return to_face(x, names); });
  const Vec3 mid = midline(in, names);
  v.construct = {{"distance", {mid - v.value * in.midsagittal->second, mid}, ""}, {"point", {mid}, "dental midline"}};
  return v;
}

MeasureDefinition to_face_measure(const char* arch, const Names& names) {
  MeasureDefinition d;
  d.id = std::string("midline_") + arch + "_face";
  d.name = std::string("Midline of the ") + arch + " teeth to the face";
  d.definition = std::string("How far the ") + arch +
                 " dental midline (midpoint of the mesial contact points of the two central incisors) lies to the "
                 "patient's left of "
                 "the midsagittal plane, perpendicular to that plane. Needs a midsagittal plane from bone or from the "
                 "face; the error of the plane "
                 "itself is not in the uncertainty.";
  d.source = "textbook, from memory";
  d.positive = std::string(arch) + " midline to the patient's left of the midsagittal plane";
  d.negative = std::string(arch) + " midline to the patient's right of the midsagittal plane";
  d.sides = BriefSides{"L", "R"};
  d.needs = names;
  d.missing = [names](const MeasureInput& in) {
    Names out = absent(in, names);
    if (!in.midsagittal) out.emplace_back("midsagittal plane");
    return out;
  };
  d.measure = [names](const MeasureInput& in) { return measure_to_face(in, names); };
  return d;
}

}  // namespace

std::vector<MeasureDefinition> midline_measures() {
  std::vector<MeasureDefinition> out = {upper_lower(), to_face_measure("upper", upper_points()),
                                        to_face_measure("lower", lower_points())};
  for (MeasureDefinition& d : out) {
    d.unit = "mm";
    d.group = "midlines";
    d.usual = {{-1.0, 1.0}};
    d.usual_source = "common practice, no source";
  }
  return out;
}

}  // namespace intercusp
