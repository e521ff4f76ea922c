#include "anatomy/contact_on_scan.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>

#include "anatomy/notation.h"

namespace intercusp {

namespace {

constexpr double kStep = 0.1;
constexpr int kSteps = 9;  ///< along the arch, to either side

/// Between two crowns: where the line through the contact is, and how far down the contact can lie.
struct Gap {
  Vec3 at = Vec3::Zero();     ///< on the vertical through the contact, at the level of the edges
  Vec3 along = Vec3::Zero();  ///< unit, horizontal, from one crown to the other
  double apart_mm = 0;        ///< horizontal distance of the two crowns' own ideas of the contact
};

struct Neighbours {
  const TemplateCrown *own, *other;
  const FittedCrown *own_fit, *other_fit;
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
  return gap;
}

/// The valley between the crowns, seen from above: its lowest place on the line along the arch. Empty where there is a
/// hole or the ground only falls to one side.
std::optional<Vec3> valley(const Surface& scan, const Gap& gap, const Vec3& up) {
  std::array<Vec3, 2 * kSteps + 1> line;
  for (int i = -kSteps; i <= kSteps; ++i)
    if (!put_down(scan, gap.at + i * kStep * gap.along, up, 8, line[static_cast<std::size_t>(i + kSteps)]))
      return std::nullopt;
  std::size_t low = 0;
  for (std::size_t i = 1; i < line.size(); ++i)
    if (up.dot(line[i] - line[low]) < 0) low = i;
  if (low == 0 || low + 1 == line.size()) return std::nullopt;
  return line[low];
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

/// Most distal place of the last crown about the height of its contact.
MarkOnScan most_distal_place(const Surface& scan, const TemplateCrown& crown, const FittedCrown& fitted) {
  constexpr double kAsFar = 0.04;
  const CrownForm& f = crown.placed.form;
  const Vec3 back = -fitted.place.axes.col(0);
  std::vector<Vec3> met;
  for (int i = -6; i <= 6; ++i)
    for (int j = -4; j <= 4; ++j) {
      const Vec3 from(-0.5 * f.width, f.centre_y + 0.05 * f.thickness * i, 0.2 * j - f.contact_depth_distal);
      Vec3 p;
      if (put_down(scan, fitted.place.world(from), back, 1.0, p)) met.push_back(p);
    }
  if (met.empty()) return {fitted.place.world(contact_of(crown, false)), 2.0};
  double most = -std::numeric_limits<double>::infinity();
  for (const Vec3& p : met) most = std::max(most, back.dot(p));
  Vec3 sum = Vec3::Zero();
  double count = 0;
  for (const Vec3& p : met)
    if (back.dot(p) > most - kAsFar) {
      sum += p;
      ++count;
    }
  MarkOnScan m;
  m.at = sum / count;
  // The flatter the back, the less is known where its middle lies.
  m.sigma_mm = std::sqrt(0.12 * 0.12 + std::pow(0.9 * std::sqrt(count) * 0.06, 2) + std::pow(2.4 * fitted.rms_mm, 2));
  return m;
}

}  // namespace

MarkOnScan find_contact(const Surface& scan, const ArchFit& fit, std::size_t crown, bool mesial) {
  const ArchTemplate& arch = arch_template(fit.upper);
  const TemplateCrown& own = arch.crowns[crown];
  const FittedCrown& fitted = fit.crowns[crown];
  const auto other = neighbour_of(arch, crown, mesial);
  if (!other) return most_distal_place(scan, own, fitted);
  const Gap gap = gap_between(arch, fit, crown, *other, mesial);
  MarkOnScan m{gap.at, 2.0};
  Vec3 laid;
  if (!put_down(scan, gap.at, fit.up, 8, laid)) return m;
  const auto lowest = valley(scan, gap, fit.up);
  const Vec3 at = lowest ? Vec3(0.5 * (laid + *lowest)) : laid;
  const double tip = level_of_tip(own, fitted, fit.up);
  const double depth = std::min(tip - fit.up.dot(at), deepest(own, fitted, mesial));
  m.at = level_part(at, fit.up) + (tip - depth) * fit.up;
  const double apart = lowest ? 0.4 * (*lowest - laid).norm() : 0.2, rms = std::max(fitted.rms_mm, fit.crowns[*other].rms_mm);
  m.sigma_mm = std::sqrt(0.05 * 0.05 + apart * apart + std::pow(0.3 * gap.apart_mm, 2) + std::pow(2.0 * rms, 2));
  return m;
}

}  // namespace intercusp
