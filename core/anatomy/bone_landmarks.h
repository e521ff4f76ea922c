#pragma once

#include "anatomy/bone_solids.h"

namespace intercusp {

/// The points of the upper jaw and skull, and of the mandible, found on the solids themselves by their definitions, so
/// that they are exact (see docs/bone.md). Patient frame. Some 10 ms each.
void mark_upper_bone(LandmarkSet& set, const BoneSolid& bone, const SkullPattern& pattern);
/// `crest_z`: height of the bone's edge at the lower incisors, above which B is not looked for. `upper` for articulare,
/// where the hind border of the mandible crosses the base of the skull in the side view.
void mark_lower_bone(LandmarkSet& set, const BoneSolid& bone, const BoneSolid& upper, const SkullPattern& pattern,
                     double crest_z);

}  // namespace intercusp
