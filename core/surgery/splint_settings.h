// What can be chosen about a splint. Every default is explained in docs/splints.md.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "base/result.h"
#include "geometry/types.h"

namespace intercusp {

/// More room around something bonded to the teeth (an attachment, an arch bar): the arch within `radius_mm` of `at` is
/// kept off by `extra_mm` more.
struct SplintRelief {
  Vec3 at = Vec3::Zero();  ///< patient frame, with the arch in its place
  double radius_mm = 6, extra_mm = 1;
};

/// A hole through the outer rim, for a wire.
struct SplintHole {
  Vec3 at = Vec3::Zero();  ///< a point between the teeth, patient frame; the hole runs outwards from above or below it
  double diameter_mm = 1.8;  ///< common practice, no source
};

/// Lengths in mm. "Common practice, no source" where docs/splints.md names none.
struct SplintSettings {
  double clearance_mm = 0.10;       ///< between enamel and splint where nothing is blocked out
  double rim_width_mm = 3.0;        ///< beyond the outline of the crowns, outwards and inwards
  double upper_depth_mm = 2.5;      ///< how far the rim reaches beyond the tips of the upper teeth
  double lower_depth_mm = 2.5;      ///< likewise over the lower teeth
  double least_thickness_mm = 1.0;  ///< between the arches and of the walls
  double open_below_mm = 0.4;       ///< between the arches: less is left open, since a film neither prints nor holds
  bool refuse_thin = false;         ///< refuse, rather than report, places thinner than that
  double zone_room_mm = 0;          ///< more than the clearance, where a zone is painted on the teeth
  double overlap_mm = 1.0;          ///< arches that pass through each other by more are refused
  double rounding_mm = 0.8;         ///< of the outer edges
  double step_mm = 0.28;            ///< spacing of the grid that the surface is first taken from
  double tolerance_mm = 0.01;       ///< to which the imprints follow the teeth
  /// Follow the teeth within the tolerance, mend what crosses, bring both arches in; without, only to be looked at.
  bool to_print = true;
  bool find_path = true;  ///< seek the paths of seating that are not given; else they are straight
  bool upper_path_given = false, lower_path_given = false;  ///< as tilted below
  /// Tilt of each arch's way off, degrees: towards the front, towards the patient's left.
  std::array<double, 2> upper_tilt_deg{0, 0}, lower_tilt_deg{0, 0};
  std::vector<SplintRelief> upper_relief, lower_relief;
  std::vector<std::string> raised_text;  ///< the first that has room is raised on the outer rim; none: nothing is
  std::vector<SplintHole> holes;
};

/// One number that can be chosen, for panels and refusals.
struct SplintNumber {
  const char* key;    ///< as scripts call it
  const char* label;  ///< for a narrow place
  const char* name;   ///< for a sentence
  const char* why;    ///< what it does
  double SplintSettings::*member;
  double least, most, step;  ///< mm; `step` that a hand takes
};
const std::vector<SplintNumber>& splint_numbers();

/// Whether every number lies within what can be made; names the number and the nearest possible value.
Status check_settings(const SplintSettings& settings);

}  // namespace intercusp
