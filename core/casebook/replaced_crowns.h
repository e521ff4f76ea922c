// Where a bone from CT shows teeth that were scanned as well, the scan stands for them.
#pragma once

#include <list>
#include <vector>

#include "casebook/case.h"

namespace intercusp {

/// The crowns of one jaw's scan, scan space.
struct ScannedCrowns {
  struct Crown {
    Vec3 top = Vec3::Zero();     ///< the landmark of the crown farthest towards the other jaw
    Vec3 apical = Vec3::Zero();  ///< unit, towards the root
    double length = 0;           ///< mm, of an average tooth of that number
  };
  SurfacePtr scan;  ///< null: no scan stands for the crowns
  std::vector<Crown> crowns;
};
bool operator==(const ScannedCrowns& a, const ScannedCrowns& b);

/// What stands for the crowns of a bone: the marked teeth of the arch on the same segment. Without a scan for what is
/// no bone or has none, and while the patient frame is not known. O(landmarks).
ScannedCrowns crowns_over(const Case& c, const Body& body);

/// The bone without the triangles of crowns that the scan shows: those whose corners all lie between 0.5 mm under the
/// scan and 1.5 mm outside it, on a known side (so not at its border), and within 4/5 of a crown's length from its top,
/// which no bone reaches. Vertices keep their numbers. The bone itself where there are none. O(vertices near the scan x
/// log n).
SurfacePtr without_scanned_crowns(const SurfacePtr& bone, const ScannedCrowns& crowns);

/// Such bones, made once and kept as long as they are asked for.
class BaredBones {
 public:
  SurfacePtr of(const SurfacePtr& bone, const ScannedCrowns& crowns);
  /// Lets go of what was not asked for since the last call.
  void forget_unused();

 private:
  struct Bared {
    SurfacePtr bone;
    ScannedCrowns crowns;
    SurfacePtr made;
    bool used = true;
  };
  std::list<Bared> bared_;
};

/// Whether what a scan stands for may lie within `reach_mm` of a point (scan space): sooner told than taken from a
/// bone.
bool may_show_crowns(const ScannedCrowns& crowns, const Vec3& point, double reach_mm);

/// Whether the place of the bone nearest to a point (scan space) was taken from it.
bool on_scanned_crown(const Surface& bone, const Surface& bared, const Vec3& point);

}  // namespace intercusp
