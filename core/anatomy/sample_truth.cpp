#include "anatomy/sample_truth.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <tuple>

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

namespace {

/// Upper to lower point of the same place on each pair, along one axis of the patient frame: least or greatest.
double worst_of(const LandmarkSet& set, const std::vector<std::array<std::string, 2>>& pairs, int axis, double sign,
                bool least) {
  double worst = 0;
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    const double value = sign * (at(set, pairs[i][0]) - at(set, pairs[i][1]))[axis];
    worst = i == 0 ? value : least ? std::min(worst, value) : std::max(worst, value);
  }
  return worst;
}

std::vector<std::array<std::string, 2>> back_pairs(bool right, bool inner) {
  const std::string up = right ? "1" : "2", low = right ? "4" : "3";
  const char* upper = inner ? "palatal_cusp" : "buccal_cusp";
  const std::string molar = inner ? "mesiopalatal_cusp" : "mesiobuccal_cusp";
  return {{up + "4." + upper, low + "4.buccal_cusp"},
          {up + "5." + upper, low + "5.buccal_cusp"},
          {up + "6." + molar, low + "6.mesiobuccal_cusp"},
          {up + "7." + molar, low + "7.mesiobuccal_cusp"}};
}

/// Outwards across the lower tooth's line of contacts, in the horizontal plane: least for the outer cusps, greatest for
/// the inner ones.
double worst_outwards(const LandmarkSet& set, bool right, bool inner) {
  double worst = inner ? -1e9 : 1e9;
  for (const auto& [upper, lower] : back_pairs(right, inner)) {
    const std::string tooth = lower.substr(0, 3);
    const Vec3 line = at(set, tooth + "contact_mesial") - at(set, tooth + "contact_distal");
    const double side = right ? 1 : -1, length = std::hypot(line.x(), line.y());
    const Vec3 apart = at(set, upper) - at(set, lower);
    const double value = side * (apart.x() * line.y() - apart.y() * line.x()) / length;
    worst = inner ? std::max(worst, value) : std::min(worst, value);
  }
  return worst;
}

void add_crossbite(SampleJaws& jaws) {
  const LandmarkSet& set = jaws.landmarks;
  std::vector<std::array<std::string, 2>> labial, edges;
  constexpr std::array<std::array<const char*, 2>, 6> kFront{
      {{"13", "43"}, {"12", "42"}, {"11", "41"}, {"21", "31"}, {"22", "32"}, {"23", "33"}}};
  for (const auto& [u, l] : kFront) {
    const bool canine = u[1] == '3';
    const std::string upper = u, lower = l, edge = canine ? ".cusp_tip" : ".incisal_edge_mid";
    edges.push_back({upper + edge, lower + edge});
    if (!canine) labial.push_back({upper + ".incisal_edge_labial", lower + ".incisal_edge_labial"});
  }
  jaws.truth["anterior_crossbite"] = worst_of(set, labial, 1, -1, true);
  jaws.truth["open_bite_anterior"] = worst_of(set, edges, 2, 1, false);
  for (const bool right : {true, false}) {
    const std::string side = right ? "right" : "left";
    jaws.truth["posterior_crossbite_" + side] = worst_outwards(set, right, false);
    jaws.truth["scissor_bite_" + side] = worst_outwards(set, right, true);
  }
}

double width_sum(const LandmarkSet& set, const char* quarters, int last) {
  double sum = 0;
  for (const char* q = quarters; *q; ++q) {
    for (int n = 1; n <= last; ++n) {
      const std::string tooth = std::string(1, *q) + std::to_string(n);
      sum += apart(set, tooth + ".contact_mesial", tooth + ".contact_distal");
    }
  }
  return sum;
}

double perimeter_of(const LandmarkSet& set, const std::string& quarters) {
  const Vec3 front =
      0.5 * (at(set, quarters.substr(0, 1) + "1.contact_mesial") + at(set, quarters.substr(1, 1) + "1.contact_mesial"));
  double sum = 0;
  for (const char q : quarters) {
    const std::string quarter(1, q);
    sum += apart(set, quarter + "6.contact_mesial", quarter + "4.contact_mesial") +
           apart(set, quarter + "4.contact_mesial", quarter + "3.contact_mesial") +
           (at(set, quarter + "3.contact_mesial") - front).norm();
  }
  return sum;
}

void add_arch_form(SampleJaws& jaws) {
  const LandmarkSet& set = jaws.landmarks;
  for (const auto& [arch, quarters] : {std::pair{"upper", "12"}, std::pair{"lower", "43"}}) {
    jaws.truth[std::string("arch_perimeter_") + arch] = perimeter_of(set, quarters);
    jaws.truth[std::string("crowding_") + arch] = width_sum(set, quarters, 5) - perimeter_of(set, quarters);
  }
  for (const auto& [part, last, mean] : {std::tuple{"overall", 6, 0.913}, std::tuple{"anterior", 3, 0.772}}) {
    const double upper = width_sum(set, "12", last), lower = width_sum(set, "43", last);
    jaws.truth[std::string("tooth_size_") + part] = 100 * lower / upper;
    jaws.truth[std::string("tooth_size_excess_") + part] =
        lower / upper > mean ? lower - mean * upper : -(upper - lower / mean);
  }
}

}  // namespace

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
    const std::string up = right ? "1" : "2", low = right ? "4" : "3";
    const Vec3 embrasure = 0.5 * (at(set, low + "4.contact_distal") + at(set, low + "5.contact_mesial"));
    jaws.truth["premolar_" + side] = (at(set, up + "4.buccal_cusp") - embrasure).dot(side_direction(set, low));
    jaws.truth_class["canine_" + side] = canine.class_name();
  }
  jaws.truth["intercanine_upper"] = apart(set, "13.cusp_tip", "23.cusp_tip");
  jaws.truth["intercanine_lower"] = apart(set, "33.cusp_tip", "43.cusp_tip");
  jaws.truth["intermolar_upper"] = apart(set, "16.mesiobuccal_cusp", "26.mesiobuccal_cusp");
  jaws.truth["intermolar_lower"] = apart(set, "36.mesiobuccal_cusp", "46.mesiobuccal_cusp");
  add_crossbite(jaws);
  add_arch_form(jaws);
}

}  // namespace intercusp
