#include "anatomy/contact_on_scan.h"

#include <Eigen/Dense>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>

#include "anatomy/notation.h"

namespace intercusp {

namespace {

/// The vertical through the contact of two crowns.
struct Gap {
  Vec3 at = Vec3::Zero();     ///< at the level of the edges
  Vec3 along = Vec3::Zero();  ///< unit, horizontal, from one crown to the other
  double apart_mm = 0;        ///< horizontal distance of the two crowns' own ideas of the contact
  double rms_mm = 0;          ///< how well the worse of the two crowns lies on the scan
};

/// How deep below a crown's tip a contact is met, and how much that varies close by.
struct Depth {
  double mm = 0, spread_mm = 0;
};

const Vec3& contact_of(const TemplateCrown& crown, bool mesial) {
  return mesial ? crown.contact_mesial : crown.contact_distal;
}

std::optional<std::size_t> neighbour_of(const ArchTemplate& arch, std::size_t crown, bool mesial) {
  const bool next = is_right(arch.crowns[crown].iso()) == mesial;
  if (next ? crown + 1 == arch.crowns.size() : crown == 0) return std::nullopt;
  return next ? crown + 1 : crown - 1;
}

Vec3 level_part(const Vec3& v, const Vec3& up) {
  return v - up.dot(v) * up;
}

Gap gap_between(const ArchTemplate& arch, const ArchFit& fit, std::size_t crown, std::size_t other, bool mesial) {
  // Across the midline both contacts are mesial.
  const bool of_other = is_right(arch.crowns[crown].iso()) == is_right(arch.crowns[other].iso()) ? !mesial : true;
  const Vec3 a = fit.crowns[crown].place.world(contact_of(arch.crowns[crown], mesial));
  const Vec3 b = fit.crowns[other].place.world(contact_of(arch.crowns[other], of_other));
  Gap gap;
  gap.at = 0.5 * (a + b);
  gap.along = level_part(fit.crowns[other].place.centre - fit.crowns[crown].place.centre, fit.up).normalized();
  gap.apart_mm = level_part(b - a, fit.up).norm();
  gap.rms_mm = std::max(fit.crowns[crown].rms_mm, fit.crowns[other].rms_mm);
  return gap;
}

double level_of_tip(const TemplateCrown& crown, const FittedCrown& fitted, const Vec3& up) {
  return up.dot(fitted.place.world(crown.marks.front().at));
}

/// Depth below the tip at which a probe is stopped, as in arch_landmarks().
double deepest(const TemplateCrown& crown, const FittedCrown& fitted, bool mesial) {
  constexpr double kSlips = 0.5;
  const CrownForm& f = crown.placed.form;
  return fitted.place.scale.z() * (mesial ? f.contact_depth_mesial : f.contact_depth_distal) + kSlips;
}

/// Depth below `tip` (level along fit.up) at which the vertical meets the scan; a probe that finds nothing to stop it
/// goes on to the deepest.
Depth probed(const Surface& scan, const Gap& gap, const Vec3& up, double tip, double most) {
  constexpr double kBeside = 0.15, kReach = 8;
  const Vec3 across = up.cross(gap.along);
  const std::array<Vec3, 5> places{gap.at, gap.at + kBeside * gap.along, gap.at - kBeside * gap.along,
                                   gap.at + kBeside * across, gap.at - kBeside * across};
  Depth depth;
  for (std::size_t i = 0; i < places.size(); ++i) {
    Vec3 p;
    const double here = put_down(scan, places[i], up, kReach, p) ? std::min(tip - up.dot(p), most) : most;
    if (i == 0) depth.mm = here;
    depth.spread_mm = std::max(depth.spread_mm, std::abs(here - depth.mm));
  }
  return depth;
}

/// Top of the quadric through heights over a plane, as far as it has one within the sampled places.
class HeightQuadric {
 public:
  void add(double u, double v, double height) {
    Eigen::Matrix<double, 6, 1> row;
    row << 1, u, v, u * u, u * v, v * v;
    a_ += row * row.transpose();
    b_ += height * row;
    low_ = low_.cwiseMin(Vec2(u, v));
    high_ = high_.cwiseMax(Vec2(u, v));
  }
  std::optional<Vec2> top() const {
    const Eigen::Matrix<double, 6, 1> c = a_.ldlt().solve(b_);
    const double det = 4 * c[3] * c[5] - c[4] * c[4];
    if (!c.allFinite() || !(det > 0) || !(c[3] < 0)) return std::nullopt;
    const Vec2 at((c[4] * c[2] - 2 * c[5] * c[1]) / det, (c[4] * c[1] - 2 * c[3] * c[2]) / det);
    return at.cwiseMax(low_).cwiseMin(high_);
  }

 private:
  Eigen::Matrix<double, 6, 6> a_ = Eigen::Matrix<double, 6, 6>::Identity() * 1e-9;
  Eigen::Matrix<double, 6, 1> b_ = Eigen::Matrix<double, 6, 1>::Zero();
  Vec2 low_ = Vec2::Constant(1e9), high_ = Vec2::Constant(-1e9);
};

/// Most distal place of the last crown about the height of its contact.
MarkOnScan most_distal_place(const Surface& scan, const TemplateCrown& crown, const FittedCrown& fitted) {
  constexpr double kTop = 0.4, kBase = 0.15, kNoTop = 0.4;
  const CrownForm& f = crown.placed.form;
  const Vec3 back = -fitted.place.axes.col(0);
  const auto place = [&](double y, double z) {
    return fitted.place.world(Vec3(-0.5 * f.width, f.centre_y + y, z - f.contact_depth_distal));
  };
  struct Met {
    double y, z, height;
  };
  std::vector<Met> met;
  double most = -std::numeric_limits<double>::infinity();
  for (int i = -6; i <= 6; ++i)
    for (int j = -4; j <= 4; ++j) {
      const double y = 0.05 * f.thickness * i, z = 0.2 * j;
      Vec3 p;
      if (!put_down(scan, place(y, z), back, 1.0, p)) continue;
      met.push_back({y, z, back.dot(p)});
      most = std::max(most, met.back().height);
    }
  HeightQuadric quadric;
  for (const Met& m : met)
    if (m.height > most - kTop) quadric.add(m.y, m.z, m.height);
  const auto top = met.size() < 12 ? std::nullopt : quadric.top();
  const Vec2 at = top.value_or(Vec2(0, 0));
  MarkOnScan m;
  if (!put_down(scan, place(at.x(), at.y()), back, 1.0, m.at)) return {place(0, 0), 2.0};
  m.sigma_mm = std::hypot(top ? kBase : kNoTop, 3.2 * fitted.rms_mm);
  return m;
}

MarkOnScan at_depth(const Gap& gap, const Vec3& up, double level, const Depth& depth) {
  MarkOnScan m;
  m.at = level_part(gap.at, up) + level * up;
  m.sigma_mm = std::sqrt(0.05 * 0.05 + std::pow(0.6 * depth.spread_mm, 2) + std::pow(0.3 * gap.apart_mm, 2) +
                         std::pow(2.6 * gap.rms_mm, 2));
  return m;
}

}  // namespace

ContactsOnScan find_contacts(const Surface& scan, const ArchFit& fit, std::size_t crown) {
  constexpr double kUneven = 2.0;  // as in arch_landmarks()
  const ArchTemplate& arch = arch_template(fit.upper);
  const TemplateCrown& own = arch.crowns[crown];
  const FittedCrown& fitted = fit.crowns[crown];
  const double tip = level_of_tip(own, fitted, fit.up);
  std::array<std::optional<Gap>, 2> gaps;
  std::array<Depth, 2> depths;
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < 2; ++i) {
    const bool mesial = i == 0;
    const auto other = neighbour_of(arch, crown, mesial);
    if (!other) continue;
    gaps[i] = gap_between(arch, fit, crown, *other, mesial);
    depths[i] = probed(scan, *gaps[i], fit.up, tip, deepest(own, fitted, mesial));
    least = std::min(least, depths[i].mm);
  }
  std::array<MarkOnScan, 2> marks;
  for (std::size_t i = 0; i < 2; ++i)
    marks[i] = gaps[i] ? at_depth(*gaps[i], fit.up, tip - std::min(depths[i].mm, least + kUneven), depths[i])
                       : most_distal_place(scan, own, fitted);
  return {marks[0], marks[1]};
}

}  // namespace intercusp
