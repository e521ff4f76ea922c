// Sparse grid of field values and cell numbers, the working memory of the isosurface.
#pragma once

#include <memory>
#include <vector>

#include "anatomy/isosurface.h"

namespace intercusp {

using GridIndex = Eigen::Vector3i;

/// Evaluates the field at grid corners on demand and keeps it, in blocks of 8 x 8 x 8.
class SampleGrid {
 public:
  static constexpr std::int32_t kUnvisited = -2, kVisited = -1;

  SampleGrid(const ScalarField& field, const Box& box, double step);

  Vec3 position(const GridIndex& corner) const { return origin_ + step_ * corner.cast<double>(); }
  GridIndex nearest_corner(const Vec3& p) const { return ((p - origin_) / step_).array().round().cast<int>().matrix(); }
  /// Corner and cell indices run over [0, size); outside of it the solid does not reach.
  const GridIndex& size() const { return size_; }
  bool has_cell(const GridIndex& c) const { return (c.array() >= 0).all() && (c.array() + 1 < size_.array()).all(); }

  float corner(const GridIndex& c);
  void set_corner(const GridIndex& c, float value) { block(c).value[slot(c)] = value; }
  /// Number of the vertex of a cell, or one of the marks above.
  std::int32_t& cell(const GridIndex& c) { return block(c).cell[slot(c)]; }
  double step() const { return step_; }

 private:
  struct Block {
    float value[512];
    std::int32_t cell[512];
  };
  static std::size_t slot(const GridIndex& c) {
    return static_cast<std::size_t>((c.x() & 7) | ((c.y() & 7) << 3) | ((c.z() & 7) << 6));
  }
  Block& block(const GridIndex& c);

  const ScalarField& field_;
  double step_;
  Vec3 origin_;
  GridIndex size_, blocks_;
  std::vector<std::unique_ptr<Block>> table_;
};

}  // namespace intercusp
