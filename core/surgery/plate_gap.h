// What a plate has to bridge: the gap and the step between two bones at one place, how much bone faces bone, and how
// thick the bone is where screws go.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "surgery/joint_space.h"

namespace intercusp {

/// Where a plate lies, patient frame. Screws go along -outward.
struct PlateSite {
  std::string id;                ///< "piriform_rim_right"
  std::string words;             ///< "right piriform rim"
  Vec3 anchor = Vec3::Zero();    ///< near the outer wall of the reference bone, about where its cut face is
  Vec3 outward = Vec3::UnitX();  ///< unit: from the wall towards the surgeon
  Vec3 across = -Vec3::UnitZ();  ///< unit, at right angles to outward: from the reference bone towards the other
};

/// A screw in one of the bones, `kScrewFromEdge` from its edge.
struct ScrewPath {
  Vec3 entry = Vec3::Zero(), tip = Vec3::Zero();
  double thickness_mm = 0;                ///< from the outer wall to where the ray first leaves the bone
  std::optional<double> tip_to_root_mm;   ///< empty without roots; 0 inside one
  std::optional<double> path_to_root_mm;  ///< least distance of the whole screw's line
};

struct PlateGap {
  PlateSite site;
  bool facing = false;  ///< the other bone's wall was found within the reach of a plate
  double gap_mm = 0;    ///< between the edges along `across`; negative: they overlap, bone must come off first
  /// The other bone's outer wall stands out by that much (negative: stands back) from where the reference's runs on to,
  /// so that there is none between the two sides of a saw cut on a slant or a round.
  double step_mm = 0;
  double contact_mm2 = 0;  ///< face of the reference bone within 6 mm of the site that has bone opposite within 1 mm
  std::optional<ScrewPath> reference_screw, other_screw;
};

constexpr double kScrewFromEdge = 4;  ///< mm, common practice, no source
constexpr double kScrewLength = 6;    ///< mm; monocortical screws of 5 to 7 (textbooks, common practice)
constexpr double kFaceReach = 6;      ///< mm to either side of the site

/// Whether a point, patient frame, lies on a face that was sawn: behind the front end of a split the inner plate of the
/// other bone can run on into its outer wall without an edge. Empty: nothing is known of saws.
struct SawnFaceTest {
  std::function<bool(const Vec3&)> reference, other;
};

/// Measures one site. Edges are found to a micrometre by halving, where the wall is seen within 10 mm of the anchor's
/// depth (of the other bone: of the reference's wall); walls are compared half a millimetre from their edges, along the
/// mean of their slopes over the next millimetre. `roots` may be empty. Empty result: the reference bone has no wall
/// there. O(1000 log n).
std::optional<PlateGap> measure_plate_gap(const PlateSite& site, const std::vector<PosedBone>& reference,
                                          const std::vector<PosedBone>& other, const std::vector<PosedBone>& roots,
                                          double screw_mm = kScrewLength, const SawnFaceTest& sawn = {});

/// Something worth knowing about a site.
struct PlateRemark {
  std::string what;        ///< "gap over 3 mm"
  std::string considered;  ///< "bone graft is usually considered"; empty where nothing is
  std::string source;      ///< of that
};
/// What stands against a plate there, worst first; empty where nothing does.
std::vector<PlateRemark> plate_remarks(const PlateGap& gap);
/// The same as one sentence.
std::string plate_advice(const PlateGap& gap);
/// Least distance of a screw's tip from a root, of both screws; empty where no root is known.
std::optional<double> screw_tip_to_root(const PlateGap& gap);

}  // namespace intercusp
