// The overlaps of two bones, each divided where it reaches from one named place into another.
#pragma once

#include <functional>

#include "geometry/contact.h"
#include "surgery/bone_site.h"
#include "surgery/joint_space.h"

namespace intercusp {

/// What overlaps at one place.
struct OverlapPart {
  BoneSite site;
  OverlapRegion overlap;      ///< of this place; exact where the engine's region lies in one place
  bool divided = false;       ///< the region reaches several places: volume and area are shares, see kLatticeAtRest
  double thickness_mm = 0;    ///< longest stretch that lies within both bones along `axis`
  Vec3 axis = Vec3::UnitZ();  ///< unit
  std::vector<Vec3> samples;  ///< points within both bones, patient frame; empty where they are thinner than 0.15 mm
};

/// How fine the lattice is by which volume and area are shared between places: points aimed at, and spacing at most.
struct LatticeSize {
  double points = 0, coarsest_mm = 0;
  /// The regions are divided as one: a coarse lattice does not hold together in thin ones, and would not tell which of
  /// them a point is of. What two of them have at one place is then one part.
  bool all_as_one = false;
};
/// Shares within 2 % of the whole, and within about 5 %.
constexpr LatticeSize kLatticeAtRest{4000, 0.7, false}, kLatticeInMotion{1000, 0.9, true};

struct OverlapQuestion {
  PosedBone first, second;
  std::function<BoneSite(const Vec3&)> site;
  /// The line along which bone would be taken off at a point, unit; empty: the direction of the region.
  std::function<Vec3(const Vec3&)> axis;
  LatticeSize lattice = kLatticeAtRest;
};

/// Deepest first. `contact` is what the engine answered for the two bones in these poses, with the gaps of vertices.
/// Points on a lattice within both bones, found by spreading from the vertices that lie inside, tell how a region's
/// volume is shared between places; the deepest point of each place is a vertex's, the region's own, or an end of a
/// column along which the thickness is taken. Surfaces that are open are not divided. O(samples log n).
std::vector<OverlapPart> overlap_parts(const OverlapQuestion& question, const ContactResult& contact);

}  // namespace intercusp
