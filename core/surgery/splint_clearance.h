// The clearance of a splint that already lies on the imprints: nowhere less by all triangles, and no more than that.
#pragma once

#include "surgery/imprint_snap.h"

namespace intercusp {

/// What was pushed off more than needed is drawn back, folds that were cut off are followed, and what is then nearer to
/// an arch than `clearance` by over ImprintSnap::kTooNear, by all triangles of both, is divided and moved off. Where
/// teeth leave too little room for all of it, the splint stays as it was there. Leaves a sound splint sound. O(n log
/// n), on two threads.
void keep_clearance(SplintSolid& solid, const SplintParts& parts, const ImprintSnap& snap, double clearance);

}  // namespace intercusp
