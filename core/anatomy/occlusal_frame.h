#pragma once

#include <array>
#include <optional>

#include "anatomy/landmarks.h"
#include "base/result.h"

namespace intercusp {

/// The maxillary occlusal frame: orthonormal, right-handed as (left, -forward, up).
struct OcclusalFrame {
  Vec3 origin = Vec3::Zero();     ///< midpoint of 11 and 21 incisal_edge_mid
  Vec3 left = Vec3::UnitX();      ///< l
  Vec3 forward = -Vec3::UnitY();  ///< f
  Vec3 up = Vec3::UnitZ();        ///< u
};

/// Frame from the upper arch's landmarks (see docs/methods.md). `u` is the normal of the plane through the incisal
/// midpoint and the two first molars' mesiobuccal cusps (else second molars', else second premolars' buccal cusps);
/// `l` is perpendicular to the palatal raphe in that plane, else the mean left-minus-right of the paired cusps.
/// The Error's `what` is "not measurable" and its `remedy` names the landmarks to place.
Result<OcclusalFrame> maxillary_occlusal_frame(const PointMap& points);

/// Names of the landmarks that are still missing for the frame, the shortest way to complete it; empty when complete.
std::vector<std::string> missing_for_occlusal_frame(const PointMap& points);

/// The landmarks that a frame is taken from, looked up once: for those who take it again and again with displaced
/// points.
struct OcclusalFrameBasis {
  std::vector<std::string> names;          ///< left before right; each once
  std::vector<Vec3> points;                ///< one per name
  std::array<int, 2> incisors, posterior;  ///< indices into `points`: right and left edge; left and right cusp
  std::vector<std::array<int, 2>> across;  ///< left and right of each pair, or raphe anterior and posterior
  bool raphe = false;                      ///< `across` holds the raphe
  /// The frame of `points`; errors as maxillary_occlusal_frame.
  Result<OcclusalFrame> frame() const;
};

/// Empty when landmarks are missing.
std::optional<OcclusalFrameBasis> occlusal_frame_basis(const PointMap& points);

/// Pose that brings the space of `frame` into the patient frame: x = left, y = -forward, z = up, origin at the upper
/// incisal midpoint.
Pose patient_from_occlusal(const OcclusalFrame& frame);

}  // namespace intercusp
