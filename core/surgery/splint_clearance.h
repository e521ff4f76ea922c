// The clearance of a splint that already lies on the imprints: nowhere less by all triangles, and no more than that.
#pragma once

#include "surgery/imprint_snap.h"

namespace intercusp {

/// How eagerly a splint is brought back to the imprints. No choice is the best one everywhere: another may lie closer
/// where one came to no end.
struct Closeness {
  double too_far_mm;  ///< what stands farther off is drawn back or divided
  int rounds;
  float folded;  ///< cosine between neighbours that make a fold
};
constexpr Closeness kUsualCloseness{0.015, 4, 0.9f}, kCloser{0.012, 5, 0.95f};

/// What was pushed off more than needed is drawn back, folds that were cut off are followed, and what is then nearer to
/// an arch than `clearance` by over ImprintSnap::kTooNear, by all triangles of both, is divided and moved off. Where
/// teeth leave too little room for all of it, the splint stays as it was there. Leaves a sound splint sound. O(n log
/// n), on two threads.
void keep_clearance(SplintSolid& solid, const SplintParts& parts, const ImprintSnap& snap, double clearance,
                    const Closeness& closeness);

}  // namespace intercusp
