#include "anatomy/solid_program.h"

#include <algorithm>
#include <cmath>

#include "anatomy/smooth.h"

namespace intercusp {

namespace {

constexpr double kCell = 6;

}  // namespace

SolidProgram::Cells SolidProgram::cells_of(Space space) const {
  Cells cells;
  Box all;
  std::vector<std::pair<std::uint16_t, Box>> boxes;
  for (std::size_t i = 0; i < steps_.size(); ++i) {
    if (steps_[i].space != space) continue;
    Box box = steps_[i].box;
    const Vec3 reach = Vec3::Constant(kReach + steps_[i].blend_mm);
    box = Box(Vec3(box.min() - reach), Vec3(box.max() + reach));
    boxes.emplace_back(static_cast<std::uint16_t>(i), box);
    all.extend(box);
  }
  if (boxes.empty()) return cells;
  cells.origin = all.min();
  cells.size = (all.sizes() / kCell).array().ceil().cast<int>().matrix();
  const auto count = static_cast<std::size_t>(cells.size.x()) * static_cast<std::size_t>(cells.size.y()) *
                     static_cast<std::size_t>(cells.size.z());
  std::vector<std::vector<std::uint16_t>> lists(count);
  for (const auto& [step, box] : boxes) {
    const Eigen::Vector3i low = ((box.min() - cells.origin) / kCell).array().floor().cast<int>().matrix();
    const Eigen::Vector3i high = ((box.max() - cells.origin) / kCell).array().floor().cast<int>().matrix();
    for (int z = low.z(); z <= std::min(high.z(), cells.size.z() - 1); ++z)
      for (int y = low.y(); y <= std::min(high.y(), cells.size.y() - 1); ++y)
        for (int x = low.x(); x <= std::min(high.x(), cells.size.x() - 1); ++x)
          lists[static_cast<std::size_t>(x + cells.size.x() * (y + cells.size.y() * z))].push_back(step);
  }
  for (const auto& list : lists) {
    cells.begin.push_back(static_cast<std::uint32_t>(cells.shapes.size()));
    cells.shapes.insert(cells.shapes.end(), list.begin(), list.end());
  }
  cells.begin.push_back(static_cast<std::uint32_t>(cells.shapes.size()));
  return cells;
}

std::pair<const std::uint16_t*, const std::uint16_t*> SolidProgram::Cells::near(const Vec3& p) const {
  if (shapes.empty()) return {nullptr, nullptr};
  const Eigen::Vector3i c = ((p - origin) / kCell).array().floor().cast<int>().matrix();
  if ((c.array() < 0).any() || (c.array() >= size.array()).any()) return {nullptr, nullptr};
  const auto at = static_cast<std::size_t>(c.x() + size.x() * (c.y() + size.y() * c.z()));
  return {shapes.data() + begin[at], shapes.data() + begin[at + 1]};
}

void SolidProgram::push(ShapePtr shape, double blend_mm, bool cuts, Space space) {
  const Box box = shape->box();
  steps_.push_back({std::move(shape), box, blend_mm, cuts, space});
}

void SolidProgram::finish() {
  plain_cells_ = cells_of(Space::plain);
  patient_cells_ = cells_of(Space::patient);
}

double SolidProgram::value_after(const Vec3& p, std::size_t steps) const {
  Vec3 q = plain_(p);
  q.x() = std::abs(q.x());
  auto [a, a_end] = plain_cells_.near(q);
  auto [b, b_end] = patient_cells_.near(p);
  double result = 1e3;
  while (a != a_end || b != b_end) {
    const bool plain = b == b_end || (a != a_end && *a < *b);
    const std::uint16_t index = plain ? *a++ : *b++;
    if (index >= steps) break;
    const Step& step = steps_[index];
    // Farther off than it can matter: rounding reaches as far as its blend, and values far from a shape run a little
    // low.
    const double clear = (step.cuts ? -result : result) + 1.5 * step.blend_mm + 0.5;
    const Vec3& at = plain ? q : p;
    if (clear > 0 ? step.box.squaredExteriorDistance(at) > clear * clear : !step.box.contains(at)) continue;
    const double value = step.shape->value(at);
    result = step.cuts ? smooth_max(result, -value, step.blend_mm) : smooth_min(result, value, step.blend_mm);
  }
  return std::min(result, kReach);
}

Box SolidProgram::box(double bend_mm) const {
  Box all;
  for (const Step& step : steps_)
    if (!step.cuts) all.extend(step.box);
  const double side = std::max(std::abs(all.min().x()), std::abs(all.max().x()));
  const Vec3 more = Vec3::Constant(bend_mm + 3);
  return Box(Vec3(Vec3(-side, all.min().y(), all.min().z()) - more),
             Vec3(Vec3(side, all.max().y(), all.max().z()) + more));
}

}  // namespace intercusp
