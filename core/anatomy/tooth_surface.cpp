#include "anatomy/tooth_surface.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "anatomy/smooth.h"
#include "anatomy/superellipse.h"

namespace intercusp {

namespace {

double cusp_height(const Cusp& c, double x, double y) {
  return c.tip.z() - c.slope_mesiodistal * smooth_abs(x - c.tip.x(), c.round_mm) -
         c.slope_buccolingual * smooth_abs(y - c.tip.y(), c.round_mm);
}

double ridge_height(const Ridge& r, double x, double y) {
  const double ax = r.to.x() - r.from.x(), ay = r.to.y() - r.from.y();
  const double px = x - r.from.x(), py = y - r.from.y();
  const double t = std::clamp((px * ax + py * ay) / (ax * ax + ay * ay), 0.0, 1.0);
  const double dx = px - t * ax, dy = py - t * ay;
  const double distance = std::sqrt(dx * dx + dy * dy + r.round_mm * r.round_mm) - r.round_mm;
  return r.from.z() + t * (r.to.z() - r.from.z()) - r.slope * distance;
}

double edge_height(const CuttingEdge& e, double x) {
  const double u = x - e.tip_x;
  return -(u > 0 ? e.slope_mesial : e.slope_distal) * smooth_abs(u, e.round_mm);
}

double bell(double x, double half_width) {
  const double t = x / half_width;
  return std::exp(-t * t);
}

/// What grooves and the hollow take off the half width of a wall.
double carved(const CrownForm& f, bool buccal, double x, double depth) {
  double off = 0;
  for (const WallGroove& g : f.grooves)
    if (g.buccal == buccal && depth < g.reach_mm) {
      const double fade = 1 - std::max(depth, 0.0) / g.reach_mm;
      off += g.depth_mm * bell(x - g.x, g.half_width_mm) * std::min(1.0, 1.6 * fade);
    }
  if (f.front && !buccal) {
    const LingualHollow& h = f.hollow;
    const double across = bell(x, h.half_width_mm) - h.mid_ridge * bell(x, 0.4 * h.half_width_mm);
    off += h.depth_mm * across * bell(depth - h.centre_depth_mm, h.half_height_mm);
  }
  return off;
}

/// Distance to the walls: superellipse of the widths at this depth.
double wall_value(const CrownForm& f, const Vec3& p) {
  const std::array<double, 4> w = f.walls.at(-p.z());
  const double y = p.y() - f.centre_y;
  const double narrow = 1 + 2 * f.lingual_taper * std::max(std::min(y, 0.0) / f.thickness, -0.5);
  const double x = (p.x() - f.shear * y) / narrow;
  const auto across = [&](CrownWalls::Side side) {
    return std::max(w[side] - carved(f, side == CrownWalls::buccal, p.x(), -p.z()), 0.3);
  };
  const OutlineWidths widths{w[CrownWalls::mesial], w[CrownWalls::distal], across(CrownWalls::buccal),
                             across(CrownWalls::lingual)};
  return superellipse(x, y, widths, *f.outline);
}

}  // namespace

double top_height(const CrownForm& form, double x, double y) {
  if (form.front) return edge_height(form.edge, x);
  const double yc = y - form.centre_y;
  double height = -1e3;
  for (const Cusp& c : form.cusps) height = smooth_max(height, cusp_height(c, x, yc), form.groove_round_mm);
  for (const Ridge& r : form.ridges) height = smooth_max(height, ridge_height(r, x, yc), form.groove_round_mm);
  return height;
}

double crown_value(const CrownForm& form, const Vec3& p) {
  return crown_value_below(form, p, std::numeric_limits<double>::infinity());
}

double crown_value_below(const CrownForm& form, const Vec3& p, double limit) {
  // What follows only ever makes the value larger.
  const double root = -p.z() - form.crown_length - 3.0;
  if (root >= limit) return root;
  const double wall = wall_value(form, p);
  if (wall >= limit) return wall;
  const double top = (p.z() - top_height(form, p.x(), p.y())) * (form.front ? 1.0 : 0.85);
  return std::max(smooth_max(wall, top, form.rim_mm), root);
}

double PlacedTooth::ball_radius() const {
  const double half = 0.6 * form.crown_length + 1.6;
  const double across = 0.56 * std::max(form.width, form.thickness);
  return std::sqrt(half * half + across * across);
}

double PlacedTooth::value(const Vec3& p) const {
  const double away = (p - ball_centre()).norm() - ball_radius();
  return away > 1.5 ? away : crown_value(form, local(p));
}

}  // namespace intercusp
