#include "anatomy/sample_grid.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace intercusp {

SampleGrid::SampleGrid(const ScalarField& field, const Box& box, double step) : field_(field), step_(step) {
  origin_ = box.min() - Vec3::Constant(2 * step);
  size_ = ((box.max() - origin_) / step).array().ceil().cast<int>().matrix() + GridIndex::Constant(4);
  blocks_ = (size_.array() + 7).matrix() / 8;
  table_.resize(static_cast<std::size_t>(blocks_.x()) * static_cast<std::size_t>(blocks_.y()) *
                static_cast<std::size_t>(blocks_.z()));
}

SampleGrid::Block& SampleGrid::block(const GridIndex& c) {
  const auto index = [&](int k) { return static_cast<std::size_t>(c[k] >> 3); };
  const std::size_t at =
      index(0) + static_cast<std::size_t>(blocks_.x()) * (index(1) + static_cast<std::size_t>(blocks_.y()) * index(2));
  std::unique_ptr<Block>& held = table_[at];
  if (!held) {
    held = std::make_unique<Block>();
    std::fill(std::begin(held->value), std::end(held->value), std::numeric_limits<float>::quiet_NaN());
    std::fill(std::begin(held->cell), std::end(held->cell), kUnvisited);
  }
  return *held;
}

float SampleGrid::corner(const GridIndex& c) {
  float& value = block(c).value[slot(c)];
  if (std::isnan(value)) {
    // The border of the grid is outside by definition, so the surface always closes.
    const bool border = (c.array() <= 0).any() || (c.array() + 1 >= size_.array()).any();
    value = border ? static_cast<float>(step_) : static_cast<float>(field_.value(position(c)));
    if (value == 0) value = static_cast<float>(1e-9);
  }
  return value;
}

}  // namespace intercusp
