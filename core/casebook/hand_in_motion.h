// What is told of a plan while a hand moves its pieces: at once and nearly, instead of exactly and later.
#pragma once

#include <set>

#include "casebook/bone_in_way.h"
#include "casebook/light_forms.h"
#include "casebook/plate_sites.h"

namespace intercusp {

/// One step of a hand.
struct HandStep {
  /// The arches against each other exactly, near contact. All other pairs by the lighter forms of their bodies:
  /// regions, and the minimum distance to a tenth and 0.05 mm; without patches, gaps of vertices and crossings.
  std::vector<ContactPair> pairs;
  std::vector<BoneInWay> bone;   ///< by the lighter forms as well: depths to about 0.1 mm, volumes to about a tenth
  std::vector<PlateGap> plates;  ///< likewise
};

/// A case held ready for a hand. What is told where the hand rests is contacts_of, bone_in_way and plate_gaps.
class HandInMotion {
 public:
  /// `in_pieces` has the plan's cuts made. Cost of what LightForms has not made yet.
  HandInMotion(Case in_pieces, const std::string& plan, LightForms& forms);

  /// `with_plates`: whether gaps at plate sites are wanted.
  HandStep at(const SegmentPoses& poses, bool with_plates);

 private:
  std::vector<ContactPair> compare(const SegmentPoses& poses);

  Case whole_, light_;
  std::string plan_;
  KeptQueries arches_, overlapping_, free_;
  std::set<std::pair<std::string, std::string>> overlapped_;  ///< in the last step: these take longest
};

}  // namespace intercusp
