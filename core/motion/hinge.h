#pragma once

#include <string>
#include <vector>

#include "anatomy/landmarks.h"
#include "base/result.h"
#include "geometry/types.h"

namespace intercusp {

/// The axis about which the lower jaw turns, patient frame.
struct HingeAxis {
  Vec3 through = Vec3::Zero();     ///< midway between the two sides
  Vec3 direction = Vec3::UnitX();  ///< unit, to the patient's left

  /// The turn that opens the jaw by this angle (the front goes down); negative closes.
  Pose opened(double open_deg) const;
  /// The same axis shifted in the sagittal plane that it is normal to.
  HingeAxis shifted(double back_mm, double up_mm) const;
};

/// Through `condyle_centre_right` and `_left`, where they stand. Error when one is missing.
Result<HingeAxis> condylar_axis(const PointMap& points);

/// The arbitrary axis by Bergstroem's points, 10 mm in front of the ear canal and 7 mm below the Frankfort plane (from
/// memory; within 5 mm of the true axis in 83 of 100, Beck as summarised by Simpson et al. 1984). Porion stands for the
/// ear canal. Needs Po and Or of both sides.
Result<HingeAxis> arbitrary_axis(const PointMap& points);

/// By its name in a plan: "condyles" or "arbitrary".
Result<HingeAxis> hinge_axis(const PointMap& points, const std::string& name);

/// A published place of the true centre of rotation against the condyle.
struct PublishedCentre {
  std::string words, source;
  double back_mm, up_mm;
  bool from_condylion;  ///< measured from Co, else from the condyle's centre
};

/// How far published centres of autorotation lie from the condyle: a result that is used must hold for these too.
const std::vector<PublishedCentre>& published_centres();

}  // namespace intercusp
