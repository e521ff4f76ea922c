// The average arch laid on a scan as a whole.
#pragma once

#include <optional>
#include <vector>

#include "anatomy/arch_template.h"
#include "base/progress.h"
#include "geometry/surface.h"

namespace intercusp {

/// scan_from_arch: turned, shifted, and stretched along the arch's own axes (width, depth, height).
struct ArchPlacement {
  Mat3 turn = Mat3::Identity();
  Vec3 shift = Vec3::Zero();
  Vec3 scale = Vec3::Ones();
  double cost = 1;  ///< 0 = every crown point lies on the scan, 1 = none does

  Vec3 apply(const Vec3& p) const { return shift + turn * scale.cwiseProduct(p); }
};

/// Places of the arch on a scan in any pose, the best first; at most `most`, no two alike. Starts from the principal
/// axes of the scan, both ways up, all round, each improved by trimmed iterated closest points (point to plane); from
/// `patient_from_scan` as well where that is known roughly. Empty when cancelled or when the scan has no triangles.
/// Some 0.1 s, on two threads where there are two; the same answer on one.
std::vector<ArchPlacement> place_arch(const Surface& scan, const ArchTemplate& arch, std::size_t most,
                                      const std::optional<Pose>& patient_from_scan, const Progress& progress);

/// More places beside `known` ones (the best first), not improved: the arch slipped along itself by up to two front
/// teeth, since an arch one tooth off is held there by its own teeth. Beside the best few of each way up.
std::vector<ArchPlacement> slip_arch(const std::vector<ArchPlacement>& known);

}  // namespace intercusp
