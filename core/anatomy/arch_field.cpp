#include "anatomy/arch_field.h"

#include <algorithm>
#include <cmath>

#include "anatomy/notation.h"
#include "anatomy/smooth.h"

namespace intercusp {

namespace {

constexpr double kBetweenCrowns = 0.55;  ///< rounding where neighbours touch, mm
constexpr double kToGum = 0.2;           ///< rounding between crown and gum, mm
constexpr double kBetweenCollars = 3.0;
constexpr double kToPalate = 2.0;
constexpr double kBaseEdge = 1.5;

}  // namespace

CrownRow::CrownRow(std::vector<PlacedTooth> teeth) : teeth_(std::move(teeth)) {
  for (const PlacedTooth& tooth : teeth_) balls_.push_back({tooth.ball_centre(), tooth.ball_radius()});
}

double CrownRow::value_below(const Vec3& p, double limit, double reach_mm) const {
  double result = 1e3;
  for (std::size_t i = 0; i < balls_.size(); ++i) {
    const double squared = (p - balls_[i].centre).squaredNorm();
    const double near = balls_[i].radius + reach_mm;
    if (squared <= near * near) {
      // From `counts` on it does not change the result.
      const double counts = std::min(result + kBetweenCrowns, limit);
      result = smooth_min(result, crown_value_below(teeth_[i].form, teeth_[i].local(p), counts), kBetweenCrowns);
      continue;
    }
    // So far off that it cannot change the result any more.
    const double beyond = balls_[i].radius + result + kBetweenCrowns;
    if (beyond > 0 && squared < beyond * beyond)
      result = smooth_min(result, std::sqrt(squared) - balls_[i].radius, kBetweenCrowns);
  }
  return result;
}

bool CrownRow::stands_near(double x, double y) const {
  // Balls further away than this do not reach below zero together, however many are rounded into each other.
  constexpr double kApart = kBetweenCrowns;
  return std::any_of(balls_.begin(), balls_.end(), [&](const Ball& ball) {
    return (ball.centre.head<2>() - Vec2(x, y)).norm() < ball.radius + kApart;
  });
}

bool WearRegion::holds(const Vec3& p) const {
  if (!back_teeth_only) return true;
  const bool left = p.x() > 0.5 * (from_left.x() + from_right.x());
  const Vec2 d = p.head<2>() - (left ? from_left : from_right);
  return d.dot(left ? backwards_left : backwards_right) > 0;
}

ArchField::ArchField(std::vector<PlacedTooth> teeth, double base_z, std::optional<Palate> palate)
    : row_(std::move(teeth)), palate_(palate), base_z_(base_z), upper_(is_upper(row_.teeth().front().iso())) {
  for (const PlacedTooth& tooth : row_.teeth()) collars_.push_back(gum_collar(tooth));
  collars_.push_back(ridge_end(row_.teeth().front()));
  collars_.push_back(ridge_end(row_.teeth().back()));
}

double ArchField::gum(const Vec3& p) const {
  double result = 1e3;
  // From there on a value does not change the result.
  for (const GumCollar& collar : collars_)
    result = smooth_min(result, collar.value_below(p, result + kBetweenCollars), kBetweenCollars);
  if (palate_) result = smooth_min(result, palate_->value_below(p, result + kToPalate), kToPalate);
  return smooth_max(result, beyond_base(p), kBaseEdge);
}

double ArchField::value(const Vec3& p) const {
  const double soft = gum(p);
  // Crowns beyond this are not seen under the gum: rounding reaches from one to the next by less than kBetweenCrowns,
  // and no place has five crowns so near to each other's distance in a row.
  const double counts = soft + kToGum + 4 * kBetweenCrowns;
  const double own = std::max(smooth_min(row_.value_below(p, counts, kReach), soft, kToGum), beyond_base(p));
  if (antagonists_.teeth().empty() || own > 1.0 || !region_.holds(p)) return own;
  return std::max(own, wear_gap_ - antagonists_.value(p));
}

Box ArchField::box() const {
  Box box;
  for (const PlacedTooth& tooth : row_.teeth()) {
    const Vec3 reach = Vec3::Constant(tooth.ball_radius());
    box.extend(Vec3(tooth.ball_centre() - reach));
    box.extend(Vec3(tooth.ball_centre() + reach));
  }
  box.extend(Vec3(box.min().x() - 6, box.min().y() - 6, upper_ ? box.min().z() : base_z_ - 0.5));
  box.extend(Vec3(box.max().x() + 6, box.max().y() + 9, upper_ ? base_z_ + 0.5 : box.max().z()));
  return box;
}

}  // namespace intercusp
