// Building blocks of bones: solids given by about their distance, mm, negative inside.
#pragma once

#include <memory>
#include <vector>

#include "anatomy/arch_curve.h"
#include "geometry/types.h"

namespace intercusp {

class Shape {
 public:
  virtual ~Shape() = default;
  virtual double value(const Vec3& p) const = 0;
  /// Encloses the solid (for a cutter: the part of it that may matter).
  virtual Box box() const = 0;
};
using ShapePtr = std::unique_ptr<const Shape>;

/// An ellipsoid whose axes are the columns of `axes`.
class Ellipsoid : public Shape {
 public:
  Ellipsoid(const Vec3& centre, const Vec3& radii, const Mat3& axes = Mat3::Identity())
      : centre_(centre), radii_(radii), axes_(axes) {}
  double value(const Vec3& p) const override;
  Box box() const override;

 private:
  Vec3 centre_, radii_;
  Mat3 axes_;
};

/// A knot of a tube: half width across and half height along its "up" direction.
struct TubeKnot {
  Vec3 at = Vec3::Zero();
  double across = 3, upward = 3;
};

/// An elliptic section swept along a smooth curve through the knots (Catmull-Rom). The section's height follows `up`,
/// made perpendicular to the curve. The ends are rounded off `cap_mm` beyond the first and last knot.
class Tube : public Shape {
 public:
  Tube(const std::vector<TubeKnot>& knots, const Vec3& up, double cap_mm);
  double value(const Vec3& p) const override;
  Box box() const override { return box_; }

 private:
  struct Station {
    Vec3 at, along, across, upward;
    double half_across, half_upward;
  };
  std::vector<Station> stations_;
  Box box_;
  double cap_mm_;
};

/// A curved plate: an outline in the plane of `e1` and `e2`, smoothed through its corners, with a middle surface raised
/// along e1 x e2 by bend . (1, u, v, u^2, uv, v^2) and a thickness of thick . (1, u, v).
struct SheetForm {
  Vec3 origin = Vec3::Zero(), e1 = Vec3::UnitY(), e2 = Vec3::UnitZ();
  std::vector<Vec2> outline;  ///< u along e1, v along e2
  std::array<double, 6> bend{};
  std::array<double, 3> thick{2, 0, 0};
  double edge_mm = 1;      ///< rounding of the rim
  bool smooth = true;      ///< false: the outline keeps its corners
  double thinnest_mm = 0;  ///< no part is made thinner
};

class Sheet : public Shape {
 public:
  explicit Sheet(const SheetForm& form);
  double value(const Vec3& p) const override;
  Box box() const override { return box_; }

 private:
  double outside_outline(const Vec2& q) const;
  SheetForm f_;
  Vec3 normal_;
  std::vector<Vec2> rim_;
  Vec2 low_ = Vec2::Zero(), high_ = Vec2::Zero();
  Box box_;
};

/// What lies on the inner side of all planes; edges rounded by `edge_mm`.
class Hull : public Shape {
 public:
  struct Plane {
    Vec3 outward;  ///< need not be of unit length
    Vec3 through;
  };
  Hull(const std::vector<Plane>& planes, double edge_mm, const Box& box);
  double value(const Vec3& p) const override;
  Box box() const override { return box_; }
  /// The same with every plane moved inwards by its own amount.
  static std::vector<Plane> moved_inwards(std::vector<Plane> planes, const std::vector<double>& by_mm);

 private:
  std::vector<Vec3> normal_;
  std::vector<double> offset_;
  double edge_mm_;
  Box box_;
};

/// A box along the axes, its edges rounded.
class RoundBox : public Shape {
 public:
  RoundBox(const Vec3& low, const Vec3& high, double edge_mm) : low_(low), high_(high), edge_mm_(edge_mm) {}
  double value(const Vec3& p) const override;
  Box box() const override { return Box(low_, high_); }

 private:
  Vec3 low_, high_;
  double edge_mm_;
};

/// Two shapes as one, whichever comes first.
class Joined : public Shape {
 public:
  Joined(ShapePtr a, ShapePtr b, double blend_mm) : a_(std::move(a)), b_(std::move(b)), blend_mm_(blend_mm) {}
  double value(const Vec3& p) const override;
  Box box() const override { return a_->box().merged(b_->box()); }

 private:
  ShapePtr a_, b_;
  double blend_mm_;
};

/// Point at `t` of 0..1 between b and c of the smooth curve through a, b, c, d (Catmull-Rom).
template <class V>
V between_knots(const V& a, const V& b, const V& c, const V& d, double t) {
  return V(0.5 * (2 * b + t * (c - a) + t * t * (2 * a - 5 * b + 4 * c - d) + t * t * t * (3 * b - a - 3 * c + d)));
}

}  // namespace intercusp
