// The room that an arch needs to come off a splint along a straight way.
#pragma once

#include "anatomy/isosurface.h"
#include "geometry/surface.h"

namespace intercusp {

/// Distances to an arch swept along its way off: what a splint must leave free so that the arch can seat. Where the
/// arch has no undercut along the way these are the distances to the arch itself. Grid for searches, exact on request.
class SeatField {
 public:
  /// `off`: unit direction in which the arch comes off. Known over `region` within `reach_mm` of the arch and, with
  /// `form`, within 2.5 mm of that; farther away the values say "at least". Cost: one distance for each node within
  /// reach, on two threads.
  SeatField(SurfacePtr arch, const Vec3& off, const Box& region, double spacing_mm, double reach_mm,
            const ScalarField* form = nullptr);

  /// Trilinear; negative inside the swept arch. O(1).
  double value(const Vec3& p) const;

  struct Exact {
    double distance_mm = 0;
    Vec3 away = Vec3::Zero();  ///< unit gradient; zero when nothing is within reach
    double travel_mm = 0;  ///< how far on its way off the arch comes nearest; above 0: an undercut is blocked out here
    std::uint32_t triangle = 0;
    double rest_mm = 0;  ///< distance to the arch in its place
  };
  /// Distance to the swept arch by its triangles. O(log n); some ten times that in undercuts. `nearby`: a triangle near
  /// the one that will be found, as asking for a neighbour gave it; found sooner, and the same. It takes the new one.
  Exact exact(const Vec3& p, std::uint32_t* nearby = nullptr) const;
  static constexpr std::uint32_t kAnywhere = 0xffffffff;

  const Vec3& off() const { return off_; }
  const Surface& arch() const { return *arch_; }

 private:
  void fill(std::size_t begin, std::size_t end, const std::vector<char>& wanted);
  std::vector<char> near_triangles(const ScalarField* form) const;
  void widen(std::vector<char>& marked) const;
  void leave_out_far(const ScalarField& form, std::vector<char>& wanted) const;
  bool parted(std::size_t n, std::size_t next) const;
  void agree_on_sides();
  double agreed(const Vec3& local, double distance_mm) const;
  bool closest_near(const Vec3& p, double limit_mm, std::uint32_t& nearby, ClosestPoint& out) const;
  Exact at_rest(const Vec3& p, std::uint32_t& nearby) const;
  double travel_of_least(const Vec3& local) const;
  std::size_t node(long i, long j, long k) const {
    return static_cast<std::size_t>((j * count_[0] + i) * count_[2] + k);
  }
  double between(const std::vector<float>& grid, const Vec3& local) const;

  SurfacePtr arch_;
  Vec3 off_;
  Mat3 into_;  ///< rotates into the grid, whose z runs along off_
  Vec3 low_ = Vec3::Zero();
  double spacing_, reach_;
  std::array<long, 3> count_{0, 0, 0};
  std::vector<float> resting_, swept_;  ///< z runs fastest
  std::vector<char> sided_;             ///< whether a node has a distance whose side is known
};

}  // namespace intercusp
