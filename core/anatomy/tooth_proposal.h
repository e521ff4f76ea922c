// One click on a tooth of a scan: its number and its landmarks.
#pragma once

#include <string>
#include <vector>

#include "anatomy/arch_fit.h"

namespace intercusp {

/// A landmark that the program proposes; a person confirms or corrects it.
struct ProposedLandmark {
  std::string name;        ///< "16.mesiobuccal_cusp"
  Vec3 at = Vec3::Zero();  ///< scan frame, mm
  double confidence = 0;   ///< 0..1: expected chance that it lies within kLandmarkWithin of where a person would put it
};

struct ToothProposal {
  int tooth = 0;                            ///< ISO number; 0 when the click is on no tooth
  double confidence = 0;                    ///< 0..1, of the number
  std::vector<ProposedLandmark> landmarks;  ///< in the order of landmarks_of_tooth(); root apices are not on a scan
};

constexpr double kLandmarkWithin = 0.5;  ///< mm
constexpr double kSureLandmark = 0.7;    ///< below it a landmark asks for a look
constexpr double kSureTooth = 0.7;       ///< the same for a number

/// What the tooth under `click` (scan frame, mm, on the scan or near it) is and where its landmarks lie. Some 3 ms.
ToothProposal propose_tooth(const Surface& scan, const ArchFit& fit, const Vec3& click);

}  // namespace intercusp
