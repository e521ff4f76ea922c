// What a bone looks like once it has been cut back from another one.
#pragma once

#include "base/progress.h"
#include "base/result.h"
#include "geometry/contact.h"
#include "surgery/joint_space.h"

namespace intercusp {

/// A bone cut back, and the check that it is free.
struct Removal {
  Mesh bone;                        ///< in the frame of the trimmed bone's own surface; unchanged outside the zones
  std::vector<std::uint8_t> fresh;  ///< one a vertex: 1 where what was inside the bone has come to light
  /// Where it was meshed anew, in the frame of its surface. Both parts are closed on the faces of these boxes, within
  /// the bone.
  std::vector<Box> zones;
  double removed_mm3 = 0;
  double left_deepest_mm = 0;  ///< what still overlaps afterwards; 0: nothing does
  double least_gap_mm = 0;     ///< from the others to the bone afterwards, everywhere; 0 where they still touch
};

/// `trimmed` without what lies within `clearance_mm` of one of the `others`, inside the zones (boxes in the patient
/// frame, which should hold all overlap to be removed; those that meet are joined). The bone within the zones is meshed
/// anew on a grid of `step_mm` and stands beside the rest, with which it shares the zone's faces; both are closed.
/// Whether anything is left is asked of the engine afterwards. Error: an open surface, or one that passes through
/// itself where a zone ends; a stop by `progress`. O(zone / step^3): a second for the wedge of an upper jaw.
Result<Removal> preview_removal(const PosedBone& trimmed, const std::vector<PosedBone>& others,
                                const std::vector<Box>& zones, double clearance_mm, double step_mm = 0.4,
                                const Progress& progress = Progress());

/// Asks the engine whether a bone that was cut back (`after`, posed) is free of the others as they are now, and writes
/// it into the result: where they were cut back from each other, that holds only of both together.
void check_free(const PosedBone& after, const std::vector<PosedBone>& others, Removal& result);

}  // namespace intercusp
