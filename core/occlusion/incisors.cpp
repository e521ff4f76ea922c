#include <array>
#include <cmath>

#include "occlusion/groups.h"
#include "occlusion/probe.h"
#include "occlusion/reading.h"

namespace intercusp {
namespace {

struct IncisorPair {
  int upper, lower;
};
constexpr std::array<IncisorPair, 2> kPairs = {{{11, 41}, {21, 31}}};

// Pairs whose readings differ by less than this (mm) count as equal; the first is then the headline.
constexpr double kEqualMm = 1e-6;
// A lower crown lower than this (mm) along u is a misplaced landmark, not a crown.
constexpr double kLeastCrownMm = 0.5;

std::string pair_name(const IncisorPair& p) {
  return std::to_string(p.upper) + "/" + std::to_string(p.lower);
}

Names pair_points(const IncisorPair& p, const char* feature) {
  return {tooth_point(p.upper, feature), tooth_point(p.lower, feature)};
}

constexpr const char* kLabial = "incisal_edge_labial";
constexpr const char* kEdge = "incisal_edge_mid";
constexpr const char* kGingival = "gingival_mid";

double overjet_of(const MeasureInput& in, const IncisorPair& p) {
  return (point_of(in, tooth_point(p.upper, kLabial)) - point_of(in, tooth_point(p.lower, kLabial)))
      .dot(in.frame->forward);
}

double overbite_of(const MeasureInput& in, const IncisorPair& p) {
  return (point_of(in, tooth_point(p.lower, kEdge)) - point_of(in, tooth_point(p.upper, kEdge))).dot(in.frame->up);
}

double crown_height(const MeasureInput& in, const IncisorPair& p) {
  return (point_of(in, tooth_point(p.lower, kEdge)) - point_of(in, tooth_point(p.lower, kGingival))).dot(in.frame->up);
}

using PairValue = double (*)(const MeasureInput&, const IncisorPair&);

// Of the pairs that have the feature on both teeth, the one with the larger magnitude.
const IncisorPair* largest(const MeasureInput& in, const char* feature, PairValue value) {
  const IncisorPair* best = nullptr;
  for (const IncisorPair& p : kPairs) {
    if (!absent(in, pair_points(p, feature)).empty()) continue;
    if (!best || std::abs(value(in, p)) > std::abs(value(in, *best)) + kEqualMm) best = &p;
  }
  return best;
}

// The pair that overbite is read on: that of the overjet, else the one whose edges are placed.
const IncisorPair* overbite_pair(const MeasureInput& in) {
  const IncisorPair* p = largest(in, kLabial, overjet_of);
  if (p && absent(in, pair_points(*p, kEdge)).empty()) return p;
  return largest(in, kEdge, overbite_of);
}

// The shorter list of what one of the two pairs still needs.
Names missing_pair(const MeasureInput& in, const char* feature) {
  const Names right = absent(in, pair_points(kPairs[0], feature));
  const Names left = absent(in, pair_points(kPairs[1], feature));
  return left.size() < right.size() ? left : right;
}

std::vector<PairReading> readings(const MeasureInput& in, const char* feature, PairValue value) {
  std::vector<PairReading> out;
  for (const IncisorPair& p : kPairs) {
    if (absent(in, pair_points(p, feature)).empty()) out.push_back({pair_name(p), value(in, p)});
  }
  return out;
}

// A dimension from the upper point along a direction, and the line that leads from its end to the lower point.
std::vector<Construct> dimension(const Vec3& upper, const Vec3& foot, const Vec3& lower, const IncisorPair& p) {
  return {{"distance", {foot, upper}, pair_name(p)},
          {"line", {foot, lower}, ""},
          {"point", {upper}, ""},
          {"point", {lower}, ""}};
}

MeasureValue measure_overjet(const MeasureInput& in) {
  const IncisorPair& p = *largest(in, kLabial, overjet_of);
  MeasureValue v;
  v.value = overjet_of(in, p);
  v.uncertainty = propagated_sd(in, pair_points(p, kLabial), [&p](const MeasureInput& x) { return overjet_of(x, p); });
  v.pairs = readings(in, kLabial, overjet_of);
  const Vec3& upper = point_of(in, tooth_point(p.upper, kLabial));
  const Vec3& lower = point_of(in, tooth_point(p.lower, kLabial));
  v.construct = dimension(upper, upper - v.value * in.frame->forward, lower, p);
  if (const std::optional<Vec3> touched = probe_lower_labial(in, upper, lower, p.lower)) {
    v.from_mesh = (upper - *touched).dot(in.frame->forward);
    v.construct.push_back({"point", {*touched}, "probe"});
  }
  return v;
}

MeasureValue measure_overbite(const MeasureInput& in) {
  const IncisorPair& p = *overbite_pair(in);
  MeasureValue v;
  v.value = overbite_of(in, p);
  v.uncertainty = propagated_sd(in, pair_points(p, kEdge), [&p](const MeasureInput& x) { return overbite_of(x, p); });
  v.pairs = readings(in, kEdge, overbite_of);
  const Vec3& upper = point_of(in, tooth_point(p.upper, kEdge));
  v.construct = dimension(upper, upper + v.value * in.frame->up, point_of(in, tooth_point(p.lower, kEdge)), p);
  return v;
}

MeasureValue measure_overbite_percent(const MeasureInput& in) {
  const IncisorPair& p = *overbite_pair(in);
  const auto percent = [&p](const MeasureInput& x) { return 100 * overbite_of(x, p) / crown_height(x, p); };
  Names names = pair_points(p, kEdge);
  names.push_back(tooth_point(p.lower, kGingival));
  MeasureValue v = measure_overbite(in);
  v.value = percent(in);
  v.uncertainty = propagated_sd(in, names, percent);
  v.pairs.clear();
  const Vec3& edge = point_of(in, tooth_point(p.lower, kEdge));
  v.construct.push_back({"distance", {edge - crown_height(in, p) * in.frame->up, edge}, "crown height"});
  return v;
}

Names missing_overbite_percent(const MeasureInput& in) {
  const Names out = absent_with_frame(in, missing_pair(in, kEdge));
  if (!out.empty()) return out;
  const IncisorPair& p = *overbite_pair(in);
  const std::string gingival = tooth_point(p.lower, kGingival);
  if (!has_point(in, gingival) || crown_height(in, p) < kLeastCrownMm) return {gingival};
  return {};
}

Names both_pairs(const char* feature) {
  Names out;
  for (const IncisorPair& p : kPairs) {
    for (const std::string& name : pair_points(p, feature)) out.push_back(name);
  }
  return out;
}

MeasureDefinition overjet() {
  MeasureDefinition d;
  d.id = "overjet";
  d.name = "Overjet";
  d.unit = "mm";
  d.group = "incisors";
  d.definition =
      "How far the labial line angle of the upper central incisor's edge, at its middle, lies in front of that of the "
      "lower central incisor, along "
      "the forward direction f of the maxillary occlusal frame, that is parallel to the occlusal plane. Read on 11 "
      "against "
      "41 and on 21 against 31; the one of larger magnitude is the overjet (11 against 41 where the two are equal), "
      "and the other is reported beside it. Where one pair is not placed, the other is used. Where the "
      "scans are at hand the reading of a probe is given beside it: from the upper labial edge back, along f, to the "
      "labial surface of the lower "
      "incisor at the height of that edge, through the middle of the lower incisor (the line through the lower labial "
      "edge point, moved "
      "along u to the height of the upper one). It is left out where the upper edge stands above the lower edge or "
      "below "
      "the lower gingival margin, and where the surface found is more than 6 mm in front of or behind the lower labial "
      "edge.";
  d.source =
      "parallel to the occlusal plane: common definition (PMC5734880); the largest counts, as in the PAR index "
      "(Richmond et al. 1992, from memory)";
  d.usual = {{1.0, 3.0}};
  d.usual_source = "ABO Discrepancy Index, which scores 1 to 3 mm with nothing (Cangialosi et al. 2004)";
  d.positive = "upper edge in front of the lower";
  d.negative = "upper edge behind the lower (reverse overjet)";
  d.sides = BriefSides{"", "rev"};
  d.needs = both_pairs(kLabial);
  d.missing = [](const MeasureInput& in) { return absent_with_frame(in, missing_pair(in, kLabial)); };
  d.measure = measure_overjet;
  return d;
}

MeasureDefinition overbite() {
  MeasureDefinition d;
  d.id = "overbite";
  d.name = "Overbite";
  d.unit = "mm";
  d.group = "incisors";
  d.definition =
      "How far the middle of the upper central incisor's edge stands below that of the lower central incisor, along "
      "the "
      "up direction u of the maxillary occlusal frame, that is perpendicular to the occlusal plane. Read on the pair "
      "whose overjet is reported; where that pair's edges are not placed, on the other pair (where no overjet can be "
      "read, on the pair of larger overbite magnitude). Each pair is reported beside it.";
  d.source = "perpendicular to the occlusal plane: common definition (PMC5734880)";
  d.usual = {{1.0, 3.0}};
  d.usual_source = "textbook value; from memory";
  d.positive = "upper edge overlaps the lower";
  d.negative = "open: the edges do not overlap";
  d.sides = BriefSides{"", "open"};
  d.needs = both_pairs(kEdge);
  d.missing = [](const MeasureInput& in) { return absent_with_frame(in, missing_pair(in, kEdge)); };
  d.measure = measure_overbite;
  return d;
}

MeasureDefinition overbite_percent() {
  MeasureDefinition d;
  d.id = "overbite_percent";
  d.name = "Overbite, share of the lower crown";
  d.unit = "%";
  d.group = "incisors";
  d.definition =
      "The overbite as a percentage of the clinical crown height of the lower incisor of the same pair. The height is "
      "taken from the middle of the gingival margin to the middle of the incisal edge, along u (not along the crown). "
      "A height of less than 0.5 mm counts as a misplaced landmark.";
  d.source = "textbook, from memory";
  d.usual = {{20.0, 40.0}};
  d.usual_source = "textbook value, about a third; from memory";
  d.positive = "upper edge overlaps the lower";
  d.negative = "open: the edges do not overlap";
  d.sides = BriefSides{"", "open"};
  d.needs = both_pairs(kEdge);
  for (const IncisorPair& p : kPairs) d.needs.push_back(tooth_point(p.lower, kGingival));
  d.missing = missing_overbite_percent;
  d.measure = measure_overbite_percent;
  return d;
}

}  // namespace

std::vector<MeasureDefinition> incisor_measures() {
  return {overjet(), overbite(), overbite_percent()};
}

}  // namespace intercusp
