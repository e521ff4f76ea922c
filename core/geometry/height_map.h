// Heights over a square grid in the xy plane, and the few plane operations that shape something from them.
#pragma once

#include <vector>

#include "geometry/mesh.h"

namespace intercusp {

/// One value a node at low + spacing * (i, j), NaN where nothing is known. Everything in mm.
class HeightMap {
 public:
  HeightMap() = default;
  /// Covers the xy extent of `region`; every node holds `value`.
  HeightMap(const Box& region, double spacing_mm, float value);

  long columns() const { return columns_; }
  long rows() const { return rows_; }
  double spacing() const { return spacing_; }
  std::size_t size() const { return value_.size(); }
  float& at(long i, long j) { return value_[static_cast<std::size_t>(j * columns_ + i)]; }
  float at(long i, long j) const { return value_[static_cast<std::size_t>(j * columns_ + i)]; }
  float& operator[](std::size_t n) { return value_[n]; }
  float operator[](std::size_t n) const { return value_[n]; }
  Eigen::Vector2d place(std::size_t n) const {
    return low_ + spacing_ * Eigen::Vector2d(static_cast<double>(static_cast<long>(n) % columns_),
                                             static_cast<double>(static_cast<long>(n) / columns_));
  }

  /// A place between four nodes, for maps of one grid.
  struct Spot {
    std::size_t first = 0;  ///< the node towards -x and -y
    double s = 0, t = 0;    ///< shares of the way to the next ones
  };
  /// Beyond the grid: at its edge.
  Spot spot(double x, double y) const;
  /// Bilinear. NaN where one of the four nodes is.
  double between(const Spot& at) const;
  double between(double x, double y) const { return between(spot(x, y)); }

  /// Lowers every node that triangles of the mesh cover, seen along z, to the least height there. `shear` moves a point
  /// by shear * z beforehand, so that columns along (shear, 1) become upright. O(triangles + nodes covered).
  void lower_to(const Mesh& mesh, const Eigen::Vector2d& shear = Eigen::Vector2d::Zero());

 private:
  void cover(const Vec3& a, const Vec3& b, const Vec3& c);
  Eigen::Vector2d low_ = Eigen::Vector2d::Zero();
  double spacing_ = 1;
  long columns_ = 0, rows_ = 0;
  std::vector<float> value_;
};

/// Distance from each node to the nearest node where `set` is true, mm; large where there is none. Exact between nodes
/// (Felzenszwalb & Huttenlocher 2012, "Distance transforms of sampled functions"). O(n).
HeightMap distance_to(const HeightMap& shape, const std::vector<bool>& set);

/// Least value in the square of half width `reach_mm` about each node; NaN counts for nothing. O(n).
HeightMap least_around(const HeightMap& map, double reach_mm);

/// Means over a square window, three times, of the nodes that hold something: smooth, and known wherever a known node
/// is within three windows. O(n).
HeightMap smoothed(const HeightMap& map, double reach_mm);

}  // namespace intercusp
