#include "anatomy/sample_truth.h"

#include <cmath>

namespace intercusp {

namespace {

const Vec3& at(const LandmarkSet& set, const std::string& name) {
  return set.at(name).at;
}

Vec3 flat(const Vec3& p) {
  return {p.x(), p.y(), 0};
}

/// Mesial direction of the lower side: from the distal contact of the first molar to the mesial contact of the first
/// premolar.
Vec3 side_direction(const LandmarkSet& set, const std::string& quarter) {
  return flat(at(set, quarter + "4.contact_mesial") - at(set, quarter + "6.contact_distal")).normalized();
}

IncisorRelation pair_relation(const LandmarkSet& set, const std::string& upper, const std::string& lower) {
  IncisorRelation r;
  r.overjet_mm = at(set, lower + ".incisal_edge_labial").y() - at(set, upper + ".incisal_edge_labial").y();
  const double lower_edge = at(set, lower + ".incisal_edge_mid").z();
  r.overbite_mm = lower_edge - at(set, upper + ".incisal_edge_mid").z();
  r.overbite_percent = 100 * r.overbite_mm / (lower_edge - at(set, lower + ".gingival_mid").z());
  return r;
}

double apart(const LandmarkSet& set, const std::string& a, const std::string& b) {
  return (at(set, a) - at(set, b)).norm();
}

}  // namespace

int SideRelation::quarters() const {
  const double q = 4 * offset_mm / unit_mm;
  return static_cast<int>(q < 0 ? -std::floor(0.5 - q) : std::floor(0.5 + q));
}

const char* SideRelation::class_name() const {
  const int q = quarters();
  return q == 0 ? "I" : q > 0 ? "II" : "III";
}

SideRelation molar_relation(const LandmarkSet& set, bool right) {
  const std::string upper = right ? "16" : "26", quarter = right ? "4" : "3";
  const Vec3 mesial = side_direction(set, quarter);
  const Vec3& groove = at(set, quarter + "6.buccal_groove");
  SideRelation r;
  r.offset_mm = (at(set, upper + ".mesiobuccal_cusp") - groove).dot(mesial);
  r.unit_mm = std::abs((at(set, quarter + "6.contact_mesial") - groove).dot(mesial));
  return r;
}

SideRelation canine_relation(const LandmarkSet& set, bool right) {
  const std::string upper = right ? "13" : "23", quarter = right ? "4" : "3";
  const Vec3 embrasure = 0.5 * (at(set, quarter + "3.contact_distal") + at(set, quarter + "4.contact_mesial"));
  SideRelation r;
  r.offset_mm = (at(set, upper + ".cusp_tip") - embrasure).dot(side_direction(set, quarter));
  const auto width = [&](const char* n) {
    return apart(set, quarter + n + ".contact_mesial", quarter + n + ".contact_distal");
  };
  r.unit_mm = 0.5 * (width("3") + width("4"));
  return r;
}

IncisorRelation incisor_relation(const LandmarkSet& set) {
  const IncisorRelation right = pair_relation(set, "11", "41"), left = pair_relation(set, "21", "31");
  return std::abs(left.overjet_mm) > std::abs(right.overjet_mm) ? left : right;
}

double midline_offset(const LandmarkSet& set) {
  const auto middle = [&](const char* a, const char* b) {
    return 0.5 * (at(set, std::string(a) + ".contact_mesial") + at(set, std::string(b) + ".contact_mesial")).x();
  };
  return middle("11", "21") - middle("31", "41");
}

void add_truth(SampleJaws& jaws) {
  const LandmarkSet& set = jaws.landmarks;
  const IncisorRelation incisors = incisor_relation(set);
  jaws.truth["overjet"] = incisors.overjet_mm;
  jaws.truth["overbite"] = incisors.overbite_mm;
  jaws.truth["overbite_percent"] = incisors.overbite_percent;
  jaws.truth["midline_upper_lower"] = midline_offset(set);
  for (const bool right : {true, false}) {
    const std::string side = right ? "right" : "left";
    const SideRelation molar = molar_relation(set, right), canine = canine_relation(set, right);
    jaws.truth["molar_" + side] = molar.offset_mm;
    jaws.truth["molar_" + side + "_quarters"] = molar.quarters();
    jaws.truth_class["molar_" + side] = molar.class_name();
    jaws.truth["canine_" + side] = canine.offset_mm;
    jaws.truth_class["canine_" + side] = canine.class_name();
  }
  jaws.truth["intercanine_upper"] = apart(set, "13.cusp_tip", "23.cusp_tip");
  jaws.truth["intercanine_lower"] = apart(set, "33.cusp_tip", "43.cusp_tip");
  jaws.truth["intermolar_upper"] = apart(set, "16.mesiobuccal_cusp", "26.mesiobuccal_cusp");
  jaws.truth["intermolar_lower"] = apart(set, "36.mesiobuccal_cusp", "46.mesiobuccal_cusp");
}

}  // namespace intercusp
