#include "anatomy/gum.h"

#include <algorithm>
#include <cmath>

#include "anatomy/arch_layout.h"
#include "anatomy/notation.h"
#include "anatomy/smooth.h"
#include "anatomy/superellipse.h"

namespace intercusp {

namespace {

/// Height of the papilla beside each tooth (common proportions, drawn by eye).
double papilla_height(int iso) {
  constexpr double kUpper[] = {4.3, 3.6, 3.4, 2.9, 2.7, 2.4, 2.0};
  constexpr double kLower[] = {3.4, 3.4, 3.4, 2.8, 2.6, 2.3, 2.0};
  return (is_upper(iso) ? kUpper : kLower)[position(iso) - 1];
}

constexpr double kThinnest = 0.22, kThickest = 1.17;  ///< of the gum on the neck: at its margin, and far below it, mm
constexpr double kBesides = 0.35;                     ///< the same mesially and distally at the margin, mm
constexpr double kFlaresFrom = 1.5;                   ///< depth below the margin, mm
constexpr double kMostFall = 1.5;                     ///< how far the margin falls beyond the tooth, in papillae

const OutlineNorm& kWall = OutlineNorm::of(2.3);
const OutlineNorm& kRim = OutlineNorm::of(2.4);

double bell(double t) {
  return std::exp(-t * t);
}

}  // namespace

double gum_margin_z(const CrownForm& form) {
  return -form.crown_length + (is_canine(form.iso) ? 0.8 : 0.25);
}

GumCollar gum_collar(const PlacedTooth& tooth) {
  const CrownForm& f = tooth.form;
  const std::array<double, 4> neck = f.walls.at(f.crown_length);
  GumCollar c;
  c.origin = tooth.origin;
  c.axes = tooth.axes;
  c.centre_y = f.centre_y;
  c.half_width = 0.5 * f.width;
  c.buccal = neck[CrownWalls::buccal];
  c.lingual = neck[CrownWalls::lingual];
  c.margin_z = gum_margin_z(f);
  c.papilla_mm = papilla_height(f.iso);
  c.flare_lingual = is_upper(f.iso) ? 0.3 : 0.16;
  const double down = is_upper(f.iso) ? -1 : 1;
  const Stance usual = usual_stance(f.iso);
  c.lean_y = std::tan(std::asin(-down * tooth.buccal().z())) - std::tan(radians(0.7 * usual.inclination_deg));
  c.lean_x = std::tan(std::asin(-down * tooth.mesial().z())) - std::tan(radians(0.7 * usual.angulation_deg));
  return c;
}

GumCollar ridge_end(const PlacedTooth& last_tooth) {
  GumCollar c = gum_collar(last_tooth);
  c.origin = last_tooth.world(Vec3(-0.5 * last_tooth.form.width - 2.0, 0, 0));
  c.half_width = 2.6;
  c.buccal *= 0.72;
  c.lingual *= 0.72;
  c.margin_z += 0.6;
  c.papilla_mm = -1.0;
  return c;
}

/// No point so far across the ridge, at this height, is nearer to it.
double GumCollar::across_at_least(double y, double qz) const {
  const double highest = margin_z + std::max(papilla_mm, -kMostFall * papilla_mm);
  const double deep = std::max(highest - qz - kFlaresFrom, 0.0);
  const double widest = kThickest + (y > 0 ? buccal + flare_buccal * deep : lingual + flare_lingual * deep);
  const double least_half = std::min(half_width + kBesides, 0.5 * (buccal + lingual) + kThinnest);
  return (std::abs(y) / widest - 1) * least_half;
}

double GumCollar::value_below(const Vec3& p, double limit) const {
  const Vec3 d = p - origin;
  const double qz = axes.col(2).dot(d), below = std::max(margin_z - 1.0 - qz, 0.0);
  const double x = axes.col(0).dot(d) - lean_x * below;
  const double beside = std::abs(x) - half_width - 4.5;
  if (beside > 2.5) return beside;
  const double y = axes.col(1).dot(d) - centre_y - lean_y * below;
  const double across = across_at_least(y, qz);
  if (across >= limit) return across;
  // Rises towards the contact and falls again beyond it; narrow in the direction of the cheek.
  const double u = std::abs(x) / half_width, tight = y / (y > 0 ? buccal : lingual);
  const double rise = std::min(u * u * std::sqrt(std::sqrt(u)), 1.0) / (1 + 0.35 * tight * tight) -
                      std::clamp(4 * (u - 1), 0.0, kMostFall);
  const double margin = margin_z + papilla_mm * rise;
  const double depth = std::max(margin - qz, 0.0);
  const double thick = kThinnest + (kThickest - kThinnest) * (1 - std::exp(-depth / 2.2));
  const double wide = half_width + kBesides + std::min(0.5 * depth, 1.8);
  const double deep = std::max(depth - kFlaresFrom, 0.0);
  const OutlineWidths widths{wide, wide, buccal + thick + flare_buccal * deep, lingual + thick + flare_lingual * deep};
  const double wall = superellipse(x, y, widths, kWall);
  return smooth_max(wall, 0.8 * (qz - margin), 0.6);
}

double Palate::rim_square(double x, double y) const {
  const double ahead = std::max((centre_y - y) / (centre_y - front_y), 0.0);
  const double rim = kRim(std::abs(x) / half_width, ahead);
  return rim * rim;
}

double Palate::surface_z(double x, double y) const {
  double z = rim_z + height_mm * (1 - std::min(rim_square(x, y), 1.4));
  for (int k = 0; k < 3; ++k) {
    const double fold = y - (front_y + 5.5 + 3.6 * k) - 0.22 * std::abs(x) - 0.5 * std::sin(0.9 * std::abs(x) + k);
    z -= 0.55 * bell(fold / 0.85) * bell((std::abs(x) - 6.0) / 4.2);
  }
  z -= 1.2 * bell(x / 1.7) * bell((y - front_y - 1.5) / 2.6);
  return z - 0.35 * bell(x / 0.9) * bell((y - 0.5 * (front_y + back_y)) / 16.0);
}

double Palate::value_below(const Vec3& p, double limit) const {
  const double side = 0.45 * half_width * (rim_square(p.x(), p.y()) - 1.15);
  const double outside = std::max(side, p.y() - back_y);
  if (outside >= limit) return outside;
  const double above = 0.85 * (surface_z(p.x(), p.y()) - p.z());
  return smooth_max(above, outside, 1.0);
}

}  // namespace intercusp
