#include "anatomy/settling.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace intercusp {

namespace {

constexpr double kGrid = 0.35, kNothing = 40;

class CrownsAsField : public ScalarField {
 public:
  explicit CrownsAsField(const CrownRow& row) : row_(row) {}
  double value(const Vec3& p) const override { return row_.value(p); }

 private:
  const CrownRow& row_;
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

ChewingHeights::ChewingHeights(std::vector<PlacedTooth> upper, const Box& region)
    : upper_(std::move(upper)),
      region_(region),
      columns_(static_cast<std::size_t>(region.sizes().x() / kGrid) + 2),
      rows_(static_cast<std::size_t>(region.sizes().y() / kGrid) + 2),
      height_(columns_ * rows_, std::numeric_limits<double>::quiet_NaN()) {}

double ChewingHeights::node(std::size_t i, std::size_t j) const {
  double& height = height_[j * columns_ + i];
  if (!std::isnan(height)) return height;
  const Vec3 start = region_.min() + Vec3(kGrid * static_cast<double>(i), kGrid * static_cast<double>(j), 0);
  height = kNothing;
  if (!upper_.stands_near(start.x(), start.y())) return height;
  const double rise = surface_along(CrownsAsField(upper_), start, Vec3::UnitZ(), region_.sizes().z());
  if (rise >= 0) height = start.z() + rise;
  return height;
}

double ChewingHeights::at(double x, double y) const {
  const double u = (x - region_.min().x()) / kGrid, v = (y - region_.min().y()) / kGrid;
  if (u < 0 || v < 0) return kNothing;
  const auto i = static_cast<std::size_t>(u), j = static_cast<std::size_t>(v);
  if (i + 1 >= columns_ || j + 1 >= rows_) return kNothing;
  const double s = u - static_cast<double>(i), t = v - static_cast<double>(j);
  return (1 - t) * ((1 - s) * node(i, j) + s * node(i + 1, j)) +
         t * ((1 - s) * node(i, j + 1) + s * node(i + 1, j + 1));
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
