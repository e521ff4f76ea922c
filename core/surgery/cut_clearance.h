#pragma once

#include <string>
#include <vector>

#include "surgery/osteotomy.h"

namespace intercusp {

/// How far a cut stays from something that it must not meet.
struct CutClearance {
  std::string landmark;    ///< the nearest point: "13.apex", "mental_foramen_right", ...
  std::string words;       ///< "apex of the upper right canine"
  double distance_mm = 0;  ///< from the near side of the saw; negative where the cut meets it or passes it on the wrong
                           ///< side
  double limit_mm = 0;
  std::string limit_source;
  bool root = false;       ///< a root: below zero the cut must not be made
  Vec3 at = Vec3::Zero();  ///< the point that was measured, patient frame at rest

  /// By more than the hundredth of a millimetre in which distances are shown: a cut laid at its limit keeps it.
  bool too_near() const { return distance_mm < limit_mm - 0.005; }
};

/// Distances of a placed cut to every root apex it could meet (the nearest of each tooth), to the infraorbital or
/// mental foramina, to the orbital floors (by orbitale) and to the mandibular canal (the line mandibular foramen, else
/// lingula, mandibular_canal_ramus, _angle, _turn, _back, _front, mental foramen as far as placed, less a radius of 1.5
/// mm), nearest first. Points at rest, patient frame. A root counts as met where its apex does not lie on its crown's
/// side. O(landmarks): for every step of a drag.
std::vector<CutClearance> cut_clearances(const Osteotomy& cut, const std::vector<PieceCut>& placed,
                                         const PointMap& points);

/// Adds the distance to the surface of one tooth's root, given by its vertices (patient frame): negative where some lie
/// on either side of the cut. O(vertices).
void add_root_surface(const Osteotomy& cut, const std::vector<PieceCut>& placed, const std::vector<Vec3>& root,
                      int tooth, std::vector<CutClearance>& out);

/// Nearest first.
void sort_clearances(std::vector<CutClearance>& clearances);

/// The first root that the cut meets, as an error that names it.
Status no_root_met(const Osteotomy& cut, const std::vector<CutClearance>& clearances);

}  // namespace intercusp
