// Where the bones of a plan meet: what the plan itself implies apart from what nobody asked for.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "casebook/reports.h"
#include "surgery/overlap_parts.h"
#include "surgery/removal.h"

namespace intercusp {

/// Something that taking bone off there would come near.
struct Touched {
  std::string words;       ///< "root of 16", "descending palatine artery in its canal"
  double distance_mm = 0;  ///< from the bone to be taken off; canals less a radius of 1.5 (from memory)
};

/// Bone that two pieces share at one place.
struct BoneInWay {
  std::string first, second;  ///< bodies
  OverlapPart part;
  /// Between the two faces of one cut, along the line of the saw: the wedge of an impaction, the front end of a split
  /// set back. Everything else is contact that nobody asked for.
  bool planned = false;
  std::string trimmed;           ///< the body that is usually cut back there (common practice, no source)
  std::vector<Touched> touches;  ///< nearest first
};

/// The places of pairs of bodies. Holds what a plan's cuts and landmarks say; ask it for each pair.
class BoneInWayFinder {
 public:
  /// `c` as with_cuts gives it; without a plan nothing counts as planned. Keep both alive.
  /// `lattice`: see kLatticeAtRest.
  BoneInWayFinder(const Case& c, const Plan* plan, const SegmentPoses& poses, LatticeSize lattice = kLatticeAtRest);

  /// Whether both bodies are bone, so that the answer below has a meaning.
  static bool applies(const ContactPair& pair);
  /// The overlaps of the pair by place, deepest first. Cost of overlap_parts where the bones overlap.
  std::vector<BoneInWay> in(const ContactPair& pair) const;
  /// The place of a point of the pair.
  BoneSite site(const ContactPair& pair, const Vec3& p) const;

 private:
  struct Cut {
    CutSurface surface;
    std::string fixed, moved;  ///< segments on either side; "maxilla" stands for all its pieces
  };
  struct Apex {
    std::string tooth;
    Vec3 at;
  };
  PosedBone bone(const std::string& body) const;
  /// The tooth with the apex nearest to a place; empty where none is known.
  const std::string& tooth_of_apex(const Vec3& at) const;
  SiteSegment segment(const std::string& body) const;
  /// Whether bones meet there on crowns that a scan stands for.
  bool on_scanned_crowns(const ContactPair& pair, const OverlapPart& part) const;
  const Cut* cut_between(const SiteSegment& a, const SiteSegment& b) const;
  bool is_planned(const ContactPair& pair, const OverlapPart& part) const;
  std::vector<Touched> touched_by(const OverlapPart& part) const;
  void touch_roots(const std::vector<Vec3>& zone, std::vector<Touched>& out) const;

  const Case& c_;
  const SegmentPoses& poses_;
  LatticeSize lattice_;
  PointMap points_;
  BoneSites sites_;
  std::vector<Apex> apices_;
  std::vector<Cut> cuts_;
  mutable BaredBones bared_;
};

/// How far the nearest of these points is from the wall of a side's mandibular canal (the line of its landmarks less a
/// radius of 1.5, from memory), mm, negative inside; empty where none of its landmarks is placed.
std::optional<double> from_mandibular_canal(const PointMap& points, const std::string& side,
                                            const std::vector<Vec3>& places);

/// Everything in the way between the bones of these pairs: contact first, then what is planned, each deepest first.
std::vector<BoneInWay> bone_in_way(const Case& c, const Plan* plan, const SegmentPoses& poses,
                                   const std::vector<ContactPair>& pairs, LatticeSize lattice = kLatticeAtRest);

/// A bone after removal with a clearance, checked against those that were in its way.
struct TrimmedBone {
  std::string body;
  std::vector<std::string> others;
  Removal removal;
};
constexpr double kRemovalClearance = 0.5;  ///< mm; common practice, no source
/// The bones that are usually cut back at these places, each once, by name. Error as preview_removal.
Result<std::vector<TrimmedBone>> trim_bones(const Case& c, const SegmentPoses& poses,
                                            const std::vector<BoneInWay>& rows, double clearance_mm,
                                            double step_mm = 0.4, const Progress& progress = Progress());

/// {"clearance_mm","bones":[{"body","others","removed_mm3","left_mm","gap_mm"}]}
nlohmann::json removal_report(const std::vector<TrimmedBone>& bones, double clearance_mm);

/// "site", "site_id", "planned", "thickness_mm", "divided", "trimmed", "touches" beside what `contact` prints of a
/// region.
nlohmann::json bone_row(const BoneInWay& row);

}  // namespace intercusp
