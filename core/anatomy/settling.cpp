#include "anatomy/settling.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "anatomy/arch_field.h"

namespace intercusp {

namespace {

constexpr double kGrid = 0.35, kNothing = 40;

class CrownsFromBelow : public ScalarField {
 public:
  explicit CrownsFromBelow(const std::vector<PlacedTooth>& teeth) : row_(teeth) {}
  double value(const Vec3& p) const override { return row_.value(p); }
  bool stands_near(double x, double y) const { return row_.stands_near(x, y); }

 private:
  CrownRow row_;
};

/// Gap of every point to the upper crowns, straight up.
std::vector<double> gaps(const ArchTooth& tooth, const std::vector<Vec3>& points, const ChewingHeights& upper) {
  std::vector<double> result;
  result.reserve(points.size());
  for (const Vec3& q : points) {
    const Vec3 p = tooth.placed.world(q);
    result.push_back(upper.at(p.x(), p.y()) - p.z());
  }
  return result;
}

/// Quarters of the tooth that touch once it has risen by the least gap and is worn by `wear_mm`; the touching area
/// breaks ties.
double rest_score(const std::vector<Vec3>& points, const std::vector<double>& gap, double wear_mm) {
  const double limit = *std::min_element(gap.begin(), gap.end()) + wear_mm;
  std::array<int, 6> touching{};
  int all = 0;
  for (std::size_t i = 0; i < gap.size(); ++i) {
    if (gap[i] > limit) continue;
    const int third = points[i].x() > 1.2 ? 2 : points[i].x() < -1.2 ? 1 : 0;
    ++touching[static_cast<std::size_t>(2 * third + (points[i].y() > 0 ? 1 : 0))];
    ++all;
  }
  const auto zones = std::count_if(touching.begin(), touching.end(), [](int n) { return n >= 1; });
  return static_cast<double>(zones) + 0.002 * all;
}

}  // namespace

ChewingHeights::ChewingHeights(const std::vector<PlacedTooth>& upper, const Box& region)
    : x0_(region.min().x()),
      y0_(region.min().y()),
      columns_(static_cast<std::size_t>(region.sizes().x() / kGrid) + 2),
      rows_(static_cast<std::size_t>(region.sizes().y() / kGrid) + 2) {
  const CrownsFromBelow crowns(upper);
  const double from = region.min().z(), reach = region.sizes().z();
  height_.reserve(columns_ * rows_);
  for (std::size_t j = 0; j < rows_; ++j)
    for (std::size_t i = 0; i < columns_; ++i) {
      const Vec3 start(x0_ + kGrid * static_cast<double>(i), y0_ + kGrid * static_cast<double>(j), from);
      const bool open = !crowns.stands_near(start.x(), start.y());
      const double rise = open ? -1 : surface_along(crowns, start, Vec3::UnitZ(), reach);
      height_.push_back(rise < 0 ? kNothing : from + rise);
    }
}

double ChewingHeights::at(double x, double y) const {
  const double u = (x - x0_) / kGrid, v = (y - y0_) / kGrid;
  if (u < 0 || v < 0) return kNothing;
  const auto i = static_cast<std::size_t>(u), j = static_cast<std::size_t>(v);
  if (i + 1 >= columns_ || j + 1 >= rows_) return kNothing;
  const double s = u - static_cast<double>(i), t = v - static_cast<double>(j);
  return (1 - t) * ((1 - s) * corner(i, j) + s * corner(i + 1, j)) +
         t * ((1 - s) * corner(i, j + 1) + s * corner(i + 1, j + 1));
}

std::vector<Vec3> chewing_points(const CrownForm& form) {
  std::vector<Vec3> points;
  const double reach_x = 0.5 * form.width, reach_y = 0.5 * form.thickness;
  const TopOfCrown top(form);
  for (double x = -reach_x; x <= reach_x; x += kGrid)
    for (double y = -reach_y; y <= reach_y; y += kGrid) {
      const Vec3 p = top.point(x, y + form.centre_y);
      if (p.z() > -0.5 * form.crown_length) points.push_back(p);
    }
  return points;
}

double rise_to_contact(const ArchTooth& tooth, const std::vector<Vec3>& points, const ChewingHeights& upper) {
  const std::vector<double> gap = gaps(tooth, points, upper);
  return *std::min_element(gap.begin(), gap.end());
}

void tilt_to_rest(ArchTooth& tooth, const std::vector<Vec3>& points, const ChewingHeights& upper, double wear_mm,
                  double most_deg) {
  const Stance start = tooth.stance;
  Stance best = start;
  double best_score = -1;
  for (const double inclination : {0.0, 0.35, -0.35, 0.7, -0.7, 1.0, -1.0})
    for (const double angulation : {0.0, 0.35, -0.35, 0.7, -0.7, 1.0, -1.0}) {
      tooth.stance = start;
      tooth.stance.inclination_deg += most_deg * inclination;
      tooth.stance.angulation_deg += most_deg * angulation;
      tooth.stand();
      const double score = rest_score(points, gaps(tooth, points, upper), wear_mm);
      if (score <= best_score + 1e-9) continue;
      best_score = score;
      best = tooth.stance;
    }
  tooth.stance = best;
  tooth.stand();
}

}  // namespace intercusp
