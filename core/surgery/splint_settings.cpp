#include "surgery/splint_settings.h"

#include <cmath>
#include <cstdio>

namespace intercusp {
namespace {

struct SplintRange {
  const char* words;
  double value, least, most;
};

std::string number_of(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%g", value);
  return text;
}

Status within(const SplintRange& range) {
  if (range.value >= range.least && range.value <= range.most) return Done{};
  const std::string nearest = number_of(range.value > range.most ? range.most : range.least);
  return Error{std::string("a ") + range.words + " of " + number_of(range.value) + " cannot be made", "",
               "the nearest possible value is " + nearest};
}

}  // namespace

const std::vector<SplintNumber>& splint_numbers() {
  using S = SplintSettings;
  static const std::vector<SplintNumber> all = {
      {"clearance_mm", "Clearance", "clearance (mm)",
       "Between enamel and splint. Less than the printer's error binds, more lets it rock", &S::clearance_mm, 0.03, 0.5,
       0.01},
      {"rim_width_mm", "Rim", "rim width (mm)", "How far the splint reaches beyond the crowns, outwards and inwards",
       &S::rim_width_mm, 1.5, 8, 0.5},
      {"least_thickness_mm", "Thinnest", "least thickness (mm)", "Walls thinner than this are listed, or refused",
       &S::least_thickness_mm, 0, 5, 0.1},
      {"upper_depth_mm", "Over upper tips", "depth over the upper teeth (mm)",
       "How far the rim reaches over the tips: deep enough to hold, shallow enough to see that it seats",
       &S::upper_depth_mm, 0.5, 5, 0.25},
      {"lower_depth_mm", "Over lower tips", "depth over the lower teeth (mm)",
       "How far the rim reaches over the tips: deep enough to hold, shallow enough to see that it seats",
       &S::lower_depth_mm, 0.5, 5, 0.25},
      {"rounding_mm", "Rounding", "rounding (mm)", "Of the outer edges", &S::rounding_mm, 0, 2.5, 0.1},
      {"open_below_mm", "Leave open below", "gap left open (mm)",
       "Between the arches: a film thinner than this neither prints nor holds", &S::open_below_mm, 0, 3, 0.1},
      {"zone_room_mm", "Painted zones", "room under painted zones (mm)",
       "More than the clearance around teeth under a zone painted on the model: an arch bar, attachments",
       &S::zone_room_mm, 0, 4, 0.25},
      {"overlap_mm", "Overlap allowed", "overlap allowed (mm)",
       "Arches that pass through each other by more are refused", &S::overlap_mm, 0, 3, 0.1},
      {"step_mm", "Grid", "grid spacing (mm)", "Spacing of the grid that the surface is first taken from", &S::step_mm,
       0.1, 1, 0.02},
      {"tolerance_mm", "Tolerance", "tolerance (mm)", "To which the imprints follow the teeth", &S::tolerance_mm, 0.002,
       0.1, 0.005},
  };
  return all;
}

Status check_settings(const SplintSettings& s) {
  for (const SplintNumber& n : splint_numbers()) {
    const bool rounding = n.member == &SplintSettings::rounding_mm;
    const double most = rounding ? 0.5 * (s.upper_depth_mm + s.lower_depth_mm) : n.most;
    const Status fits = within({n.name, s.*n.member, n.least, most});
    if (!fits.ok()) return fits;
  }
  for (const SplintHole& hole : s.holes) {
    const Status fits = within({"hole's diameter (mm)", hole.diameter_mm, 0.5, 4});
    if (!fits.ok()) return fits;
  }
  for (const auto* reliefs : {&s.upper_relief, &s.lower_relief}) {
    for (const SplintRelief& relief : *reliefs) {
      for (const Status& fits : {within({"radius of relief (mm)", relief.radius_mm, 0.5, 20}),
                                 within({"relief (mm)", relief.extra_mm, 0, 4})}) {
        if (!fits.ok()) return fits;
      }
    }
  }
  for (const auto& tilt : {s.upper_tilt_deg, s.lower_tilt_deg}) {
    const Status fits = within({"tilt of the path of seating (degrees)", std::hypot(tilt[0], tilt[1]), 0, 30});
    if (!fits.ok()) return fits;
  }
  return Done{};
}

}  // namespace intercusp
