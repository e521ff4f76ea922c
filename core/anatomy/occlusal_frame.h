#pragma once

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

/// Names of the landmarks that the frame is taken from, in a fixed order; empty when it cannot be taken.
std::vector<std::string> occlusal_frame_landmarks(const PointMap& points);

/// Pose that brings the space of `frame` into the patient frame: x = left, y = -forward, z = up, origin at the upper
/// incisal midpoint.
Pose patient_from_occlusal(const OcclusalFrame& frame);

}  // namespace intercusp
