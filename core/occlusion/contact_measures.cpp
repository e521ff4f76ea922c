#include <algorithm>
#include <cmath>
#include <map>

#include "anatomy/notation.h"
#include "anatomy/tooth_at.h"
#include "occlusion/groups.h"
#include "occlusion/reading.h"

namespace intercusp {
namespace {

constexpr double kLeastPatchMm2 = 0.05;  // smaller ones are noise of the mesh
constexpr double kPrematureReachMm = 1.0;

double standard_normal_below(double z) {
  return 0.5 * std::erfc(-z / std::sqrt(2.0));
}

bool counts(const ContactPatch& patch) {
  return patch.area_mm2 >= kLeastPatchMm2;
}

std::vector<const ContactPatch*> patches(const MeasureInput& in) {
  std::vector<const ContactPatch*> out;
  for (const ContactPatch& patch : in.contact->result.contacts) {
    if (counts(patch)) out.push_back(&patch);
  }
  return out;
}

// "16/46", of the teeth nearest to a place on both arches; "?" where none is near.
std::string teeth_there(const MeasureInput& in, const Vec3& at) {
  const int upper = tooth_at(in.points, at, Jaw::upper), lower = tooth_at(in.points, at, Jaw::lower);
  const auto word = [](int tooth) { return tooth == 0 ? std::string("?") : std::to_string(tooth); };
  return word(upper) + "/" + word(lower);
}

std::vector<Construct> drawn_patches(const MeasureInput& in) {
  std::vector<Construct> out;
  for (const ContactPatch* patch : patches(in)) out.push_back({"point", {patch->at}, teeth_there(in, patch->at)});
  return out;
}

bool on_the_right(const MeasureInput& in, const ContactPatch& patch) {
  return (patch.at - in.frame->origin).dot(in.frame->left) < 0;
}

bool at_the_front(const MeasureInput& in, const ContactPatch& patch) {
  const int tooth = tooth_at(in.points, patch.at, Jaw::upper);
  return tooth != 0 && position(tooth) <= 3;
}

// How fast the area of contact grows with the limit of the gap, mm2 per mm: from the vertices of the lower arch.
double area_slope(const MeasureInput& in) {
  const Mesh& mesh = in.lower.surface->mesh();
  const std::vector<float>& gap = in.contact->result.gap_second;
  const double s = in.settings.scan_sd_mm, limit = in.contact->contact_mm;
  double area = 0;
  for (const Triangle& t : mesh.triangles) {
    double share = 0;
    for (const std::uint32_t v : t) {
      if (std::abs(static_cast<double>(gap[v]) - limit) <= s) share += 1.0 / 3;
    }
    if (share == 0) continue;
    const Vec3 a = mesh.positions[t[0]].cast<double>(), b = mesh.positions[t[1]].cast<double>(),
               c = mesh.positions[t[2]].cast<double>();
    area += share * 0.5 * (b - a).cross(c - a).norm();
  }
  return area / (2 * s);
}

double area_sd(const MeasureInput& in) {
  return in.settings.scan_sd_mm > 0 ? area_slope(in) * in.settings.scan_sd_mm : 0.0;
}

double area_where(const MeasureInput& in, bool (*there)(const MeasureInput&, const ContactPatch&)) {
  double area = 0;
  for (const ContactPatch* patch : patches(in)) area += there(in, *patch) ? patch->area_mm2 : 0;
  return area;
}

double whole_area(const MeasureInput& in) {
  return area_where(in, [](const MeasureInput&, const ContactPatch&) { return true; });
}

MeasureValue measure_count(const MeasureInput& in) {
  MeasureValue v;
  double variance = 0;
  std::map<std::string, double> by_teeth;
  for (const ContactPatch* patch : patches(in)) {
    v.value += 1;
    by_teeth[teeth_there(in, patch->at)] += 1;
    if (!(in.settings.scan_sd_mm > 0)) continue;
    const double p = standard_normal_below((in.contact->contact_mm - patch->gap_mm) / in.settings.scan_sd_mm);
    variance += p * (1 - p);
  }
  v.uncertainty = std::sqrt(variance);
  for (const auto& [teeth, number] : by_teeth) v.pairs.push_back({teeth, number});
  v.construct = drawn_patches(in);
  return v;
}

MeasureValue measure_area(const MeasureInput& in) {
  MeasureValue v;
  std::map<std::string, double> by_teeth;
  for (const ContactPatch* patch : patches(in)) by_teeth[teeth_there(in, patch->at)] += patch->area_mm2;
  for (const auto& [teeth, area] : by_teeth) v.pairs.push_back({teeth, area});
  v.value = whole_area(in);
  v.uncertainty = area_sd(in);
  v.construct = drawn_patches(in);
  return v;
}

// Share of the area in percent; the errors of the part and of the rest grow with their areas.
MeasureValue measure_share(const MeasureInput& in, bool (*there)(const MeasureInput&, const ContactPatch&)) {
  const double whole = whole_area(in), part = area_where(in, there);
  MeasureValue v;
  v.value = 100 * part / whole;
  const double sd = area_sd(in) / whole, p = part / whole;
  v.uncertainty = 100 * sd * std::sqrt(2 * p * (1 - p));
  v.construct = drawn_patches(in);
  return v;
}

struct ToothGap {
  int tooth = 0;
  double gap_mm = 0;
  Vec3 at = Vec3::Zero();
};

// The least gap of each lower tooth that comes within reach, least first.
std::vector<ToothGap> tooth_gaps(const MeasureInput& in) {
  const std::vector<float>& gap = in.contact->result.gap_second;
  const Mesh& mesh = in.lower.surface->mesh();
  const TeethOfArch teeth(in.points, Jaw::lower);
  std::map<int, ToothGap> least;
  for (std::size_t v = 0; v < gap.size(); ++v) {
    if (!(static_cast<double>(gap[v]) < kPrematureReachMm)) continue;
    const Vec3 at = in.lower.patient_from_surface * mesh.positions[v].cast<double>();
    const int tooth = teeth.at(at);
    if (tooth == 0) continue;
    ToothGap& known = least[tooth];
    if (known.tooth == 0 || static_cast<double>(gap[v]) < known.gap_mm) known = {tooth, gap[v], at};
  }
  std::vector<ToothGap> out;
  for (const auto& entry : least) out.push_back(entry.second);
  std::stable_sort(out.begin(), out.end(), [](const ToothGap& a, const ToothGap& b) { return a.gap_mm < b.gap_mm; });
  return out;
}

MeasureValue measure_premature(const MeasureInput& in) {
  const std::vector<ToothGap> gaps = tooth_gaps(in);
  MeasureValue v;
  v.value = gaps[2].gap_mm - gaps[0].gap_mm;
  v.uncertainty = std::sqrt(2.0) * in.settings.scan_sd_mm;
  for (const ToothGap& g : gaps) v.pairs.push_back({std::to_string(g.tooth), g.gap_mm});
  v.finding = std::to_string(gaps[0].tooth);
  v.construct = {{"point", {gaps[0].at}, "first"}, {"point", {gaps[1].at}, ""}, {"point", {gaps[2].at}, ""}};
  return v;
}

Names missing_contact(const MeasureInput& in) {
  if (in.contact && in.upper.surface && in.lower.surface) return absent_with_frame(in, {});
  return {"contact of both scans"};
}

Names missing_share(const MeasureInput& in) {
  Names out = missing_contact(in);
  if (out.empty() && !(whole_area(in) > 0)) out.emplace_back("contacts");
  return out;
}

constexpr const char* kContactWords =
    "A contact is a connected place where the gap between the arches is at or below the limit (a setting, 0.05 mm), "
    "overlap included, with an area of at least 0.05 mm2; its area is taken on the arch with more vertices there. ";

MeasureDefinition contact_measure(const char* id, const char* name, const char* unit, const char* words, double least,
                                  double most, const char* usual_source) {
  MeasureDefinition d;
  d.id = id;
  d.name = name;
  d.unit = unit;
  d.group = "contacts";
  d.definition = std::string(kContactWords) + words;
  d.source = "contact at 50 micrometres: Owens et al. 2002, AJODO, from memory; least area: common practice, no source";
  d.usual = {{least, most}};
  d.usual_source = usual_source;
  d.needs = {"contact of both scans"};
  d.missing = missing_contact;
  return d;
}

}  // namespace

std::vector<MeasureDefinition> contact_measures() {
  MeasureDefinition count = contact_measure(
      "contact_count", "Contacts", "contacts",
      "The value is their number; beside it the number of each pair of teeth (nearest landmarks within 6 mm). "
      "Uncertainty: each contact is there with the probability that its least gap is below the limit under the error "
      "of "
      "the scans (a setting, 0.02 mm, common practice, no source).",
      8, 40,
      "about 7 a side: Korioth 1990, J Prosthet Dent 64:206-210, young adults; the upper end is common practice, no "
      "source");
  count.measure = measure_count;
  MeasureDefinition area =
      contact_measure("contact_area", "Contact area", "mm2",
                      "The value is the sum of their areas; beside it the area of each pair of teeth. Uncertainty: by "
                      "how much the area "
                      "of the lower arch within the limit changes when the limit changes by the error of the scans.",
                      2, 40, "common practice, no source");
  area.measure = measure_area;
  MeasureDefinition right = contact_measure("contact_right_share", "Share of contact on the right", "%",
                                            "The share of their area on the patient's right of the upper incisal "
                                            "midpoint, along l. Not a share of force.",
                                            45, 55, "called balanced: common use, no source");
  right.missing = missing_share;
  right.measure = [](const MeasureInput& in) { return measure_share(in, on_the_right); };
  MeasureDefinition front =
      contact_measure("contact_front_share", "Share of contact at the front", "%",
                      "The share of their area on upper incisors and canines. Not a share of force.", 0, 25,
                      "front teeth lighter than back teeth: common practice, no source");
  front.missing = missing_share;
  front.measure = [](const MeasureInput& in) { return measure_share(in, at_the_front); };
  MeasureDefinition first = contact_measure(
      "premature_contact", "Premature contact", "mm",
      "Each lower tooth's least gap is the least signed gap of its vertices (nearest landmark) to the upper arch, "
      "overlap negative, where it is below 1 mm. The value is the third smallest of these less the smallest: how much "
      "sooner the first tooth meets than three do. Each tooth's least gap is reported.",
      0, 0.1, "common practice, no source");
  first.missing = [](const MeasureInput& in) {
    Names out = missing_contact(in);
    if (out.empty() && tooth_gaps(in).size() < 3) out.emplace_back("three teeth near each other");
    return out;
  };
  first.measure = measure_premature;
  return {count, area, right, front, first};
}

}  // namespace intercusp
