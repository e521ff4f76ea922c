// Which tooth is where on a scan of an arch.
#pragma once

#include <optional>
#include <vector>

#include "anatomy/elastic_arch.h"
#include "base/result.h"

namespace intercusp {

/// One average crown where it lies best on the scan.
struct FittedCrown : Lying {
  CrownOnScan place;
};

/// The average arch laid on a scan; scan frame, mm. `crowns` in the order of arch_template(upper).crowns.
struct ArchFit {
  bool upper = true;
  std::vector<FittedCrown> crowns;
  Vec3 up = Vec3::UnitZ();  ///< unit, out of the jaw: the chewing direction
  double rms_mm = 0;        ///< over all crowns
  double covered = 0;       ///< share of all visible points with a partner
};

/// Lays the average arch on a scan of one dental arch in any pose, open or closed, with gum and base or without; then
/// every crown by itself, with its own turn and sizes. `patient_from_scan`: the patient frame where it is known
/// roughly; not needed. Error when the scan is empty, when no arch is recognised on it, or when cancelled.
/// Deterministic; on two threads where there are two. Some 0.3 s, little of it by the number of triangles.
Result<ArchFit> fit_arch(const Surface& scan, bool upper, const Progress& progress = Progress(),
                         const std::optional<Pose>& patient_from_scan = std::nullopt);

}  // namespace intercusp
