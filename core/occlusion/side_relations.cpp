#include <algorithm>
#include <cmath>

#include "occlusion/groups.h"
#include "occlusion/reading.h"
#include "occlusion/relation.h"

namespace intercusp {
namespace {

// One side of the mouth by the quadrants of its teeth.
struct Side {
  const char* word;
  int upper, lower;
  int up(int position) const { return 10 * upper + position; }
  int low(int position) const { return 10 * lower + position; }
};
constexpr Side kRight{"right", 1, 4};
constexpr Side kLeft{"left", 2, 3};

constexpr const char* kMesial = "contact_mesial";
constexpr const char* kDistal = "contact_distal";
// Shorter than this (mm) a direction or a unit is a misplaced landmark.
constexpr double kLeastLengthMm = 0.5;

Vec3 in_plane(const MeasureInput& in, const Vec3& v) {
  return v - in.frame->up * in.frame->up.dot(v);
}

std::string mesial_end(const MeasureInput& in, const Side& s) {
  const std::string first = tooth_point(s.low(4), kMesial);
  return has_point(in, first) ? first : tooth_point(s.low(5), kMesial);
}

// From the distal contact of the lower first molar to the mesial contact of the first premolar, not yet of unit length.
Vec3 side_span(const MeasureInput& in, const Side& s) {
  return in_plane(in, point_of(in, mesial_end(in, s)) - point_of(in, tooth_point(s.low(6), kDistal)));
}

Names missing_side_direction(const MeasureInput& in, const Side& s) {
  Names out = absent(in, {tooth_point(s.low(6), kDistal)});
  if (!has_point(in, mesial_end(in, s))) out.push_back(tooth_point(s.low(4), kMesial));
  if (out.empty() && in.frame && side_span(in, s).norm() < kLeastLengthMm) {
    out = {tooth_point(s.low(6), kDistal), mesial_end(in, s)};
  }
  return out;
}

// The two landmarks compared and the unit, for one kind of relation on one side.
enum class RelationOf { molar, premolar, canine };

struct Relation {
  Side side;
  RelationOf of;
  bool molar() const { return of == RelationOf::molar; }
  Names names() const;
  Vec3 upper(const MeasureInput& in) const;
  Vec3 lower(const MeasureInput& in) const;
  std::optional<double> own_unit(const MeasureInput& in) const;
  double offset(const MeasureInput& in) const { return (upper(in) - lower(in)).dot(side_span(in, side).normalized()); }
};

Names Relation::names() const {
  if (molar()) return {tooth_point(side.up(6), "mesiobuccal_cusp"), tooth_point(side.low(6), "buccal_groove")};
  if (of == RelationOf::premolar) {
    return {tooth_point(side.up(4), "buccal_cusp"), tooth_point(side.low(4), kDistal),
            tooth_point(side.low(5), kMesial)};
  }
  return {tooth_point(side.up(3), "cusp_tip"), tooth_point(side.low(3), kDistal), tooth_point(side.low(4), kMesial)};
}

Vec3 Relation::upper(const MeasureInput& in) const {
  return point_of(in, names()[0]);
}

Vec3 Relation::lower(const MeasureInput& in) const {
  const Names n = names();
  return molar() ? point_of(in, n[1]) : Vec3(0.5 * (point_of(in, n[1]) + point_of(in, n[2])));
}

std::optional<double> Relation::own_unit(const MeasureInput& in) const {
  double unit = 0;
  if (molar()) {
    const std::string contact = tooth_point(side.low(6), kMesial);
    if (!has_point(in, contact)) return std::nullopt;
    unit = std::abs((point_of(in, contact) - lower(in)).dot(side_span(in, side).normalized()));
  } else {
    for (const int position : {3, 4}) {
      const std::string mesial = tooth_point(side.low(position), kMesial),
                        distal = tooth_point(side.low(position), kDistal);
      if (!has_point(in, mesial) || !has_point(in, distal)) return std::nullopt;
      unit += 0.5 * (point_of(in, mesial) - point_of(in, distal)).norm();
    }
  }
  return unit < kLeastLengthMm ? std::nullopt : std::optional<double>(unit);
}

std::vector<Construct> drawn(const MeasureInput& in, const Relation& r, double offset) {
  const Vec3 along = side_span(in, r.side).normalized();
  const Vec3 upper = r.upper(in), lower = r.lower(in);
  const Vec3 foot = lower + in.frame->up * in.frame->up.dot(upper - lower);
  return {{"distance", {foot, foot + offset * along}, ""},
          {"line", {foot, lower}, ""},
          {"line", {foot + offset * along, upper}, ""},
          {"point", {upper}, "upper"},
          {"point", {lower}, "lower"},
          {"line", {point_of(in, tooth_point(r.side.low(6), kDistal)), point_of(in, mesial_end(in, r.side))}, "side"}};
}

MeasureValue measure_relation(const MeasureInput& in, const Relation& r) {
  MeasureValue v;
  v.value = r.offset(in);
  Names names = r.names();
  names.push_back(tooth_point(r.side.low(6), kDistal));
  names.push_back(mesial_end(in, r.side));
  v.uncertainty = propagated_sd(in, names, [&r](const MeasureInput& x) { return r.offset(x); });
  const double unit = r.own_unit(in).value_or(in.settings.unit_mm);
  v.unit_mm = unit;
  v.quarters = quarter_units(v.value, unit);
  v.relation = angle_class(*v.quarters);
  v.probability = class_probability(*v.quarters, v.value, unit, v.uncertainty);
  v.odds = quarter_odds(v.value, unit, v.uncertainty);
  v.sagittal_mm = (r.upper(in) - r.lower(in)).dot(in.frame->forward);
  v.construct = drawn(in, r, v.value);
  return v;
}

std::string side_words(const Side& s) {
  const std::string six = std::to_string(s.low(6)), four = std::to_string(s.low(4)), five = std::to_string(s.low(5));
  return "along the side direction: from " + six + ".contact_distal to " + four + ".contact_mesial (" + five +
         ".contact_mesial where the first premolar is missing), projected on the occlusal plane. ";
}

std::string molar_words(const Side& s) {
  const std::string six = std::to_string(s.low(6));
  return "How far the mesiobuccal cusp tip of " + std::to_string(s.up(6)) +
         " lies mesial of the mesiobuccal groove of " + six +
         " (at the occlusal margin), both projected on the occlusal plane, " + side_words(s) +
         "The unit is the patient's own, from " + six + ".buccal_groove to " + six +
         ".contact_mesial along the side direction, else the setting (7.0 mm).";
}

std::string canine_words(const Side& s) {
  const std::string three = std::to_string(s.low(3)), four = std::to_string(s.low(4));
  return "How far the cusp tip of " + std::to_string(s.up(3)) + " lies mesial of the embrasure between " + three +
         " and " + four + " (midpoint of " + three + ".contact_distal and " + four +
         ".contact_mesial), both projected on the occlusal plane, " + side_words(s) +
         "The unit is the patient's own, the mean of the mesiodistal widths of " + three + " and " + four +
         " (contact point to contact point), else the setting (7.0 mm).";
}

std::string premolar_words(const Side& s) {
  const std::string three = std::to_string(s.low(3)), four = std::to_string(s.low(4)), five = std::to_string(s.low(5));
  return "How far the buccal cusp tip of " + std::to_string(s.up(4)) + " lies mesial of the embrasure between " + four +
         " and " + five + " (midpoint of " + four + ".contact_distal and " + five +
         ".contact_mesial), both projected on the occlusal plane, " + side_words(s) +
         "The unit is that of the canine: the mean of the mesiodistal widths of " + three + " and " + four +
         " (contact point to contact point), else the setting (7.0 mm).";
}

std::string relation_definition(const Relation& r) {
  if (r.molar()) return molar_words(r.side);
  return r.of == RelationOf::premolar ? premolar_words(r.side) : canine_words(r.side);
}

const char* relation_source(RelationOf of) {
  if (of == RelationOf::molar) {
    return "Angle 1899, Dental Cosmos 41:248-264 (cusp and groove); quarter units: common practice, no source";
  }
  if (of == RelationOf::premolar) {
    return "Katz 1992, AJODO 102:277-284 (the formula from memory); quarter units: common practice, no source";
  }
  return "textbook, from memory; quarter units: common practice, no source";
}

constexpr const char* kClassWords =
    " (A unit of less than 0.5 mm counts as a misplaced landmark: then the setting, too.) Class and quarters: four "
    "times the distance over the unit, rounded to whole quarter units, ties away from zero; "
    "less than an "
    "eighth of a unit is Class I, positive quarters are Class II, negative Class III. The component along f is "
    "reported beside it. The "
    "probability is that of the class under a normal error of the uncertainty given; the unit is taken as exact. "
    "Beside it the quarter units that are at least one in twenty likely, with their probabilities.";

MeasureDefinition relation_measure(const Side& side, RelationOf of) {
  const Relation r{side, of};
  const std::string tooth = of == RelationOf::molar ? "molar" : of == RelationOf::premolar ? "premolar" : "canine";
  MeasureDefinition d;
  d.id = tooth + "_" + side.word;
  d.name = tooth + " relation, " + side.word;
  d.name[0] = static_cast<char>(d.name[0] - 'a' + 'A');
  d.unit = "mm";
  d.group = "side relations";
  d.definition = relation_definition(r) + kClassWords;
  d.source = relation_source(of);
  d.usual = {{-0.875, 0.875}};
  d.usual_source = "Class I at the default unit of 7.0 mm: common practice, no source";
  d.positive = "upper " + tooth + " mesial of its Class I place (Class II direction)";
  d.negative = "upper " + tooth + " distal of its Class I place (Class III direction)";
  d.sides = BriefSides{"II", "III"};
  d.needs = r.names();
  for (const std::string& name : {tooth_point(side.low(6), kDistal), tooth_point(side.low(4), kMesial)}) {
    if (std::find(d.needs.begin(), d.needs.end(), name) == d.needs.end()) d.needs.push_back(name);
  }
  d.missing = [r](const MeasureInput& in) {
    Names out = absent_with_frame(in, r.names());
    for (const std::string& name : missing_side_direction(in, r.side)) {
      if (std::find(out.begin(), out.end(), name) == out.end()) out.push_back(name);
    }
    return out;
  };
  d.measure = [r](const MeasureInput& in) { return measure_relation(in, r); };
  return d;
}

}  // namespace

std::vector<MeasureDefinition> side_relation_measures() {
  return {relation_measure(kRight, RelationOf::molar), relation_measure(kLeft, RelationOf::molar),
          relation_measure(kRight, RelationOf::canine), relation_measure(kLeft, RelationOf::canine)};
}

double side_offset(const MeasureInput& in, bool right) {
  return Relation{right ? kRight : kLeft, RelationOf::molar}.offset(in);
}

std::vector<MeasureDefinition> premolar_measures() {
  return {relation_measure(kRight, RelationOf::premolar), relation_measure(kLeft, RelationOf::premolar)};
}

}  // namespace intercusp
