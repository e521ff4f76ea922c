#include "app/scene/bite_card_data.h"

#include <cstdlib>

#include "anatomy/notation.h"

namespace intercusp {

namespace {

std::optional<double> value_of(const Reading& r, const char* id) {
  const MeasureRow* row = r.row(id);
  return row && row->value ? std::optional<double>(row->value->value) : std::nullopt;
}

SideReading side(const Reading& r, const char* id) {
  SideReading s;
  const MeasureRow* row = r.row(id);
  if (!row) return s;
  s.needs = row->needs;
  if (!row->value) return s;
  s.mm = row->value->value;
  s.relation = row->value->relation.value_or("");
  s.quarters = row->value->quarters.value_or(0);
  s.unit_mm = row->value->unit_mm.value_or(s.unit_mm);
  s.probability = row->value->probability.value_or(1);
  return s;
}

const Vec3* outer_cusp(const PointMap& points, int tooth) {
  const std::string t = std::to_string(tooth);
  for (const char* feature : {".mesiobuccal_cusp", ".buccal_cusp", ".cusp_tip", ".incisal_edge_mid"}) {
    const auto found = points.find(t + feature);
    if (found != points.end()) return &found->second;
  }
  return nullptr;
}

/// What the table reads of an upper back tooth, where it stands outside the lower one: mm, negative in crossbite.
std::optional<double> crossbite_of(const Reading& r, int upper) {
  const MeasureRow* row = r.row(is_right(upper) ? "posterior_crossbite_right" : "posterior_crossbite_left");
  if (!row || !row->value) return std::nullopt;
  for (const PairReading& pair : row->value->pairs)
    if (std::atoi(pair.between.c_str()) == upper) return pair.value;
  return std::nullopt;
}

// Crossed: the upper outer cusp or edge stands inside the lower one. Open: a front pair with no vertical overlap.
char mark_of(const Reading& r, int upper, int lower) {
  // The card and the table say the same of a tooth.
  if (const auto outside = crossbite_of(r, upper)) return *outside < 0 ? 'x' : 0;
  const Vec3* u = outer_cusp(r.points, upper);
  const Vec3* l = outer_cusp(r.points, lower);
  if (!u || !l || !r.input.frame) return 0;
  const OcclusalFrame& f = *r.input.frame;
  const Vec3 d = *u - *l;
  if (is_incisor(upper)) {
    if (d.dot(f.up) > 0) return 'o';
    return d.dot(f.forward) < 0 ? 'x' : 0;
  }
  const double outwards = is_right(upper) ? -d.dot(f.left) : d.dot(f.left);
  return outwards < 0 ? 'x' : 0;
}

std::optional<double> right_share(const std::map<int, ToothContact>& teeth) {
  double right = 0, all = 0;
  for (const auto& [tooth, c] : teeth) {
    all += c.area_mm2;
    if (is_right(tooth)) right += c.area_mm2;
  }
  return all > 0 ? std::optional<double>(right / all) : std::nullopt;
}

}  // namespace

BiteCardData bite_card_data(const Reading& reading, const std::map<int, ToothContact>* contacts) {
  BiteCardData d;
  d.section = reading.section;
  d.overjet = value_of(reading, "overjet");
  d.overbite = value_of(reading, "overbite");
  d.molar_right = side(reading, "molar_right");
  d.molar_left = side(reading, "molar_left");
  d.canine_right = side(reading, "canine_right");
  d.canine_left = side(reading, "canine_left");
  d.midline = value_of(reading, "midline_upper_lower");
  d.upper_face = value_of(reading, "midline_upper_face");
  d.lower_face = value_of(reading, "midline_lower_face");
  for (int position = 1; position <= 7; ++position) {
    for (const int q : {10, 20}) {
      const char mark = mark_of(reading, q + position, 50 - q + position);
      if (mark) d.marks[q + position] = mark;
    }
  }
  if (contacts) {
    d.teeth = *contacts;
    d.right_share = right_share(*contacts);
  }
  return d;
}

}  // namespace intercusp
