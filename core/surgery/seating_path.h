// The straight way along which an arch leaves a splint with the least blocking out.
#pragma once

#include "surgery/splint_slab.h"

namespace intercusp {

/// A way off and what it costs.
struct SeatingPath {
  Vec3 off = Vec3::UnitZ();  ///< unit: how the arch moves to come off, splint frame
  double forward_deg = 0;    ///< tilt from upright towards -y
  double left_deg = 0;       ///< tilt towards +x
  double swept_mm3 = 0;      ///< room that the arch sweeps inside the slab
};

/// The way off of an arch that seats from above (the upper) for these tilts, degrees.
Vec3 tilted_way(double forward_deg, double left_deg);

/// How a way is sought.
struct PathSearch {
  double finest_deg;  ///< last step
  double worth_mm3;   ///< what a tilt must save a square degree: less is noise of the surfaces
};

/// Seeks the tilt, within 25 degrees, for which the arch sweeps the least room below the top of the slab: the arch's
/// own volume there is the same for all ways, so this is where the least is blocked out. The arch seats from above; the
/// lower one is asked about turned upside down. Some thirty height maps for steps down to half a degree.
SeatingPath best_path(const Mesh& arch, const HeightMap& top, const HeightMap& outline, const PathSearch& search);

}  // namespace intercusp
