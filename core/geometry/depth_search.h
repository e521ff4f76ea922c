#pragma once

#include "geometry/posed_pair.h"

namespace intercusp {

/// The deepest point of one overlap so far.
struct Deepest {
  double depth_mm = -1;            ///< negative while nothing was found
  Vec3 at = Vec3::Zero();          ///< common frame
  Vec3 direction = Vec3::UnitZ();  ///< how the first body must move to come free
};

/// Of points equally deep the first in order of coordinates, so that the way of searching does not show.
bool deeper(const Deepest& a, const Deepest& b);

/// Seeks the deepest points below the surface of the other body.
class DepthSearch {
 public:
  /// Points deeper than the best by no more than `off_mm` may be passed over.
  explicit DepthSearch(const PosedPair& pair, double off_mm = 0);

  /// A vertex of `body` whose nearest triangle of the other body is known.
  void try_known(std::size_t body, std::uint32_t vertex, double depth_mm, std::uint32_t nearest, Deepest& best) const;
  /// A point of `body` inside the other one. Cheap when something lies nearer than the best depth.
  void try_point(std::size_t body, const Vec3& point, Deepest& best) const;
  /// The stretch pq of an edge of `body` that lies inside the other one: exact where the depth has one peak on it.
  /// `ends_on_surface`: how many of p and q lie on the other body's surface (0 to 2); no point of the stretch is deeper
  /// than it is far from them, which rules most out without a search. `near`: any triangle of the other body, best one
  /// near the stretch; the answer is the same.
  void try_stretch(std::size_t body, const Vec3& p, const Vec3& q, int ends_on_surface, std::uint32_t near,
                   Deepest& best) const;

 private:
  bool is_within(std::size_t body, const Vec3& point, double radius_mm, std::uint32_t near) const;
  double depth(std::size_t body, const Vec3& point, Vec3& surface_point, std::uint32_t& triangle) const;
  void take(std::size_t body, const Vec3& point, const Vec3& surface_point, std::uint32_t triangle, double depth_mm,
            Deepest& best) const;
  const PosedPair& pair_;
  double off_mm_;
  std::array<Pose, 2> own_from_common_;
};

}  // namespace intercusp
