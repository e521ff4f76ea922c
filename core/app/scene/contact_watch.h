#pragma once

#include <string>
#include <vector>

#include "app/errands/errand_desk.h"
#include "casebook/reports.h"

namespace intercusp {

/// One place of the clearance list.
struct ClearanceRow {
  std::string site;           ///< "16 on 46", "upper_arch on lower_arch"
  std::string first, second;  ///< bodies
  double depth_mm = 0;
  std::optional<double> volume_mm3;
  double area_mm2 = 0;
  Vec3 at = Vec3::Zero(), direction = Vec3::UnitZ();
  // Of bone against bone, once it is known by place:
  bool planned = false;     ///< the wedge that the plan itself implies
  double thickness_mm = 0;  ///< to take off; 0 = not known
  std::string touches;      ///< what taking it off comes near
  bool about = false;       ///< told while a hand moves the bones, see HandInMotion
};

/// Where bodies that are free of each other come nearest: what touches first if they go on closing there.
struct NearestPlace {
  std::string site;  ///< "24 on 35"
  double gap_mm = 0;
};

/// What one tooth touches.
struct ToothContact {
  double area_mm2 = 0;  ///< at or below the contact distance
  double least_gap_mm = 1e9;
};

/// Contacts between the bodies, asked for again as often as answers come: while a hand moves a jaw only near contact
/// is looked for, and of sawn bones what HandInMotion tells; at rest the whole band once, and bone by place. Where
/// errands are done on the screen's own thread, never more than about a third of the time is spent on them while a hand
/// moves.
class ContactWatch {
 public:
  struct Wish {
    std::uint64_t readings_version = 0;
    bool dragging = false;
    bool whole_band = false;  ///< for the contact map
    bool plates = false;      ///< gaps at plate sites are looked at
    double seconds = 0;
  };
  /// Asks for what is due, one question at a time.
  /// `c`: as it is shown; `plan`: null at the start.
  void refresh(ErrandDesk& desk, const Case& c, const Plan* plan, const SegmentPoses& poses, const PointMap& points,
               const Wish& wish);
  /// Grows with every answer.
  std::uint64_t answers() const { return answers_; }
  /// The answer does not belong to the poses shown yet: another refresh is due.
  bool due(const Wish& wish) const { return wish.readings_version != version_ || (!wish.dragging && coarse_); }

  const std::vector<ContactPair>& pairs() const { return pairs_; }
  /// Gaps at plate sites with the answer for a hand in motion, taken out; empty where none came.
  std::optional<std::vector<PlateGap>> take_plates() { return std::exchange(plates_, std::nullopt); }
  /// How the arches meet in the poses last compared, for the measures of contacts; null while a hand moves a jaw, when
  /// only near contact is looked for, and where an arch is missing.
  std::shared_ptr<const ArchContact> arches() const;
  const std::vector<ClearanceRow>& clearance() const { return clearance_; }
  const std::map<int, ToothContact>& teeth() const { return teeth_; }
  /// Empty where something overlaps, or where nothing was compared.
  const std::optional<NearestPlace>& nearest() const { return nearest_; }
  const std::string& trouble() const { return trouble_; }
  /// Of the readings that the last answer belongs to.
  std::uint64_t version() const { return version_; }
  /// From question to answer, the last time.
  double last_ms() const { return last_ms_; }
  void forget();

 private:
  void list(const Case& c, const PointMap& points);
  void follow(ErrandDesk& desk, const Case& c, const Plan& plan, const SegmentPoses& poses, const PointMap& points,
              const Wish& wish);
  void compare(ErrandDesk& desk, const Case& c, const SegmentPoses& poses, const PointMap& points, const Wish& wish);
  void answered(const Case& c, double begin, const Wish& wish);
  void make_light(ErrandDesk& desk, const Case& c, const Plan* plan);
  void ask_for_bone(ErrandDesk& desk, const Case& c, const Plan* plan, const SegmentPoses& poses,
                    const PointMap& points);
  std::vector<ContactPair> pairs_;
  std::vector<ClearanceRow> clearance_;
  std::map<int, ToothContact> teeth_;
  std::optional<NearestPlace> nearest_;
  std::string trouble_;
  double contact_mm_ = 0;
  std::uint64_t version_ = ~0ull;
  bool coarse_ = false, bone_about_ = false, asked_ = false, asked_bone_ = false, asked_light_ = false;
  bool hand_has_case_ = false;                       ///< the first step of this hand has gone
  std::vector<std::weak_ptr<const Surface>> light_;  ///< bodies whose lighter forms are made
  std::optional<std::vector<PlateGap>> plates_;
  std::vector<BoneFound::Place> bone_;   ///< where bones overlap, by place
  std::uint64_t bone_version_ = ~0ull;   ///< that it belongs to
  std::uint64_t answers_ = 0, age_ = 0;  ///< age: grows with forget(), so that late answers are known as such
  double last_ms_ = 0, last_end_ = -1e9;
};

}  // namespace intercusp
