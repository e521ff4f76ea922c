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

Status check_settings(const SplintSettings& s) {
  const SplintRange ranges[] = {
      {"clearance (mm)", s.clearance_mm, 0.03, 0.5},
      {"rim width (mm)", s.rim_width_mm, 1.5, 8},
      {"depth over the upper teeth (mm)", s.upper_depth_mm, 0.5, 5},
      {"depth over the lower teeth (mm)", s.lower_depth_mm, 0.5, 5},
      {"least thickness (mm)", s.least_thickness_mm, 0, 5},
      {"gap left open (mm)", s.open_below_mm, 0, 3},
      {"overlap allowed (mm)", s.overlap_mm, 0, 3},
      {"rounding (mm)", s.rounding_mm, 0, 0.5 * (s.upper_depth_mm + s.lower_depth_mm)},
      {"grid spacing (mm)", s.step_mm, 0.1, 1},
      {"tolerance (mm)", s.tolerance_mm, 0.002, 0.1},
  };
  for (const SplintRange& range : ranges) {
    const Status fits = within(range);
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
