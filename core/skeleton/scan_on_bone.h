// Lays a dental scan on the teeth of a bone surface from CT.
#pragma once

#include <string>
#include <vector>

#include "base/progress.h"
#include "base/result.h"
#include "geometry/surface.h"

namespace intercusp {

/// How a scan lies on a bone's teeth. The gum of the scan has no partner on bone, and the teeth of a CT are thick or
/// thin by a threshold; so what counts is the share of the scan that has a partner at all, and how even the rest is.
struct ScanOnBone {
  Pose bone_from_scan = Pose::Identity();
  std::size_t points = 0;  ///< of the scan within kNear of the bone that face the same way
  double covered = 0;      ///< 0..1: their share of the scan's points
  double rms_mm = 0;       ///< of their distances
  double offset_mm = 0;    ///< mean signed distance, + scan outside the bone: the threshold's share of rms_mm
  double largest_mm = 0;   ///< 95 of 100 lie nearer than this
  double moved_mm = 0;     ///< how far the middle of the scan moved from where it was given
  double turned_deg = 0;

  static constexpr double kNear = 1.0;        ///< mm
  static constexpr double kGoodRms = 0.35;    ///< mm; common practice, no source
  static constexpr double kGoodShare = 0.25;  ///< crowns fill a third to a half of a scan with its gum

  bool good() const { return rms_mm <= kGoodRms && covered >= kGoodShare; }
  /// One sentence with the figures, and what to do when they are not good. `scan` and `bone` are names of bodies.
  std::string sentence(const std::string& scan, const std::string& bone) const;
};

/// Reads how the scan lies in a pose, without moving it. O(n log n).
ScanOnBone read_scan_on_bone(const Surface& scan, const Surface& bone, const Pose& bone_from_scan);

/// Moves the scan from `start` (a few mm and degrees off at most) onto the teeth: trimmed iterated closest points with
/// a reach that shrinks, so that at last only crowns take part. Inner walls of the bone do no harm while its outer wall
/// is there. Error when nothing of the scan comes near the bone, when the bone leaves a way to slide open, or when
/// cancelled. A second or so for 100,000 points.
Result<ScanOnBone> lay_scan_on_bone(const Surface& scan, const Surface& bone, const Pose& start,
                                    const Progress& progress = Progress());

/// The same without a start: places all over the bone and turns of the head are tried first. `upright_from_scan` turns
/// the scan to patient axes (DICOM), roughly as the bone stands: front teeth forwards, chewing plane within some 25
/// degrees of level. A few seconds.
Result<ScanOnBone> find_scan_on_bone(const Surface& scan, const Surface& bone, const Pose& upright_from_scan,
                                     const Progress& progress = Progress());

}  // namespace intercusp
