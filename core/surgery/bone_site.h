// Names for the places where bone can meet bone, found from landmarks of the skull and the side a point lies on.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "anatomy/landmarks.h"

namespace intercusp {

/// A place in words.
struct BoneSite {
  std::string id;     ///< "septum", "palatine_bone", "pterygoid", ...; the same on both sides
  std::string side;   ///< "right", "left" or empty
  std::string words;  ///< "right palatine bone beside the descending palatine vessels"
  /// On the walls along which the saw runs in sight of the surgeon: what overlaps there between the faces of a cut is
  /// the wedge that the plan implies. Inside the nose and behind the jaw nobody asks for contact.
  bool on_cut_line = false;
};

/// One of two segments that meet: its name and where it stands.
struct SiteSegment {
  std::string name;
  Pose pose = Pose::Identity();  ///< patient frame, from its place at rest
};

/// The landmarks that places are named from, in the patient frame at rest. What is not placed is replaced: the
/// midsagittal plane by the midline of spine or incisors, the nose's half width by 12 mm and the height of its floor by
/// 27 mm above the incisal edges (adult means, from memory), the junction with the pterygoid plates by 2 mm behind PNS
/// or 10 mm behind the last molar (common practice, no source), the palatine canal by 8 mm before PNS and 15 mm beside
/// it (after the sample's form). Immutable.
class BoneSites {
 public:
  explicit BoneSites(const PointMap& at_rest);

  /// The place of a point (patient frame) at which two segments meet. O(1).
  BoneSite at(const SiteSegment& first, const SiteSegment& second, const Vec3& p) const;

  /// To the patient's left of the midsagittal plane, mm.
  double lateral(const Vec3& p) const { return mid_normal_.dot(p - mid_point_); }
  /// The descending palatine canal of a side (0 right, 1 left) as a line from its lower mouth upwards.
  const std::vector<Vec3>& palatine_canal(std::size_t side) const { return sides_[side].canal; }

 private:
  struct SideMarks {
    double nose_half = 12, rim_y = 6;  ///< of the nasal opening: from the midline, and how far back its rim lies
    double buttress_y = 28, last_molar_y = 42, junction_y = 54;
    std::vector<Vec3> canal;
    std::optional<Vec3> condyle, lingula;
    double lower_molar_y = 40;  ///< distal contact of the last lower molar
  };
  void set_midline(const PointMap& points);
  void set_side(const PointMap& points, bool right);
  BoneSite maxilla_on_skull(const Vec3& p) const;
  BoneSite within_mandible(const Vec3& in_mandible, bool right) const;
  BoneSite lower_on_upper(const SiteSegment& lower, const SiteSegment& upper, const Vec3& p) const;
  BoneSite inside_nose(const Vec3& p, std::size_t side) const;
  BoneSite outer_wall(const Vec3& p, std::size_t side) const;

  Vec3 mid_point_ = Vec3::Zero(), mid_normal_ = Vec3::UnitX();
  double floor_z_ = 27, spine_back_y_ = 50;
  std::array<SideMarks, 2> sides_;
};

/// Distance of a point from a chain of points, mm; infinite for an empty one.
double distance_to_chain(const std::vector<Vec3>& chain, const Vec3& p);

}  // namespace intercusp
