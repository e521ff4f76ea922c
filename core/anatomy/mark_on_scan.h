// Where a landmark of the average crown lies on a scan.
#pragma once

#include "anatomy/elastic_arch.h"

namespace intercusp {

/// Where a landmark was put and how far that can be trusted.
struct MarkOnScan {
  Vec3 at = Vec3::Zero();  ///< on the scan
  double sigma_mm = 1;     ///< expected error in each direction
};

/// Puts `mark` of a crown that lies at `place` down on the scan and draws it to the feature of the scan that it stands
/// for: tips to the highest place, edges and grooves to the crest or the deepest line, corners to the place farthest
/// out, the buccal groove to the lowest place of the rim, the gum margin to the crease. Average crown and feature share
/// the say by how well each kind is found; where they disagree, or the surface near by does not look like the crown
/// (`rms_mm`, of the crown's points), the expected error grows. Scan frame, mm. Some 0.1 ms.
MarkOnScan find_mark(const Surface& scan, const CrownOnScan& place, const CrownMark& mark, double rms_mm);

/// The scan met by a line along the unit `direction` through `near`, from outside (`direction` points out of the scan):
/// from `reach_mm` outside, or farther out where that lies within a neighbour or the gum, to `reach_mm` inside. False
/// where there is nothing.
bool put_down(const Surface& scan, const Vec3& near, const Vec3& direction, double reach_mm, Vec3& out);

}  // namespace intercusp
