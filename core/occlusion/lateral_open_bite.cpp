#include <cmath>

#include "occlusion/groups.h"
#include "occlusion/reading.h"

namespace intercusp {
namespace {

constexpr double kStartAboveMm = 3.0, kFarthestMm = 8.0;

struct CuspGap {
  int tooth;
  std::string name;  ///< of the cusp
  double gap_mm;
  Vec3 cusp, below;
};

std::vector<std::pair<int, std::string>> supporting_cusps(bool right) {
  std::vector<std::pair<int, std::string>> out;
  for (int position = 4; position <= 7; ++position) {
    const int tooth = 10 * (right ? 1 : 2) + position;
    out.emplace_back(tooth, tooth_point(tooth, position >= 6 ? "mesiopalatal_cusp" : "palatal_cusp"));
  }
  return out;
}

// Down along u from a little above each palatal cusp to the lower scan.
std::vector<CuspGap> cusp_gaps(const MeasureInput& in, bool right) {
  std::vector<CuspGap> out;
  if (!in.lower.surface || !in.frame) return out;
  const Surface& lower = *in.lower.surface;
  const Pose own = in.lower.patient_from_surface.inverse();
  for (const auto& [tooth, name] : supporting_cusps(right)) {
    if (!has_point(in, name)) continue;
    const Vec3& cusp = point_of(in, name);
    RayHit hit;
    const Vec3 start = own * (cusp + kStartAboveMm * in.frame->up), down = own.linear() * -in.frame->up;
    if (!lower.bvh().ray(lower.mesh(), start, down, kStartAboveMm + kFarthestMm, hit)) continue;
    const double gap = hit.t - kStartAboveMm;
    out.push_back({tooth, name, gap, cusp, cusp - gap * in.frame->up});
  }
  return out;
}

MeasureValue measure_lateral(const MeasureInput& in, bool right) {
  const std::vector<CuspGap> gaps = cusp_gaps(in, right);
  const CuspGap* widest = &gaps.front();
  MeasureValue v;
  for (const CuspGap& g : gaps) {
    v.pairs.push_back({std::to_string(g.tooth), g.gap_mm});
    if (g.gap_mm > widest->gap_mm + 1e-6) widest = &g;
  }
  v.value = widest->gap_mm;
  v.uncertainty = std::hypot(landmark_sd(in, widest->name), in.settings.scan_sd_mm);
  v.finding = std::to_string(widest->tooth);
  v.construct = {{"distance", {widest->below, widest->cusp}, std::to_string(widest->tooth)}};
  return v;
}

MeasureDefinition lateral_open_bite(bool right) {
  const std::string side = right ? "right" : "left";
  MeasureDefinition d;
  d.id = "open_bite_" + side;
  d.name = "Posterior open bite, " + side;
  d.unit = "mm";
  d.group = "crossbite and open bite";
  d.definition =
      "The greatest gap between a palatal cusp of the upper premolars and first and second molars (mesiopalatal on "
      "molars) "
      "and the lower scan, straight down along u: from 3 mm above the cusp to the first surface met, at most 8 mm "
      "below "
      "the cusp, less those 3 mm. Negative where the cusp lies below the lower surface. Every cusp that meets the "
      "lower "
      "scan is reported. Uncertainty: that of one landmark and of the scans together, along u.";
  d.source = "cusp to opposing surface along u: as the gap of a lateral open bite, from memory";
  d.usual = {{-0.1, 1.0}};
  d.usual_source = "common practice, no source";
  d.positive = "cusp above the lower surface";
  d.negative = "cusp below the lower surface (overlap)";
  d.sides = BriefSides{"open", "closed"};
  for (const auto& [tooth, name] : supporting_cusps(right)) d.needs.push_back(name);
  d.missing = [right](const MeasureInput& in) {
    if (!cusp_gaps(in, right).empty()) return Names{};
    Names out = absent_with_frame(in, {});
    if (!in.lower.surface) out.emplace_back("lower scan");
    for (const auto& [tooth, name] : supporting_cusps(right)) {
      if (!has_point(in, name)) out.push_back(name);
    }
    if (out.empty()) out.emplace_back("lower scan below the palatal cusps");
    return out;
  };
  d.measure = [right](const MeasureInput& in) { return measure_lateral(in, right); };
  return d;
}

}  // namespace

std::vector<MeasureDefinition> lateral_open_bite_measures() {
  return {lateral_open_bite(true), lateral_open_bite(false)};
}

}  // namespace intercusp
