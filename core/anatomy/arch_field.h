// A whole dental arch as one implicit solid: crowns, gum, base.
#pragma once

#include <limits>
#include <optional>
#include <vector>

#include "anatomy/arch_curve.h"
#include "anatomy/gum.h"
#include "anatomy/isosurface.h"
#include "anatomy/tooth_surface.h"

namespace intercusp {

/// Crowns that stand side by side, asked for their joint value a million times.
class CrownRow {
 public:
  CrownRow() = default;
  explicit CrownRow(std::vector<PlacedTooth> teeth);

  /// Smallest crown value, rounded where neighbours meet, as far as `reach_mm` (beyond it any larger number). Patient
  /// mm.
  double value(const Vec3& p, double reach_mm = 1.5) const {
    return value_below(p, std::numeric_limits<double>::infinity(), reach_mm);
  }
  /// For less work, when only values well below `limit` are wanted: a crown's value from there on may be any such
  /// number.
  double value_below(const Vec3& p, double limit, double reach_mm) const;

  /// Whether any crown may stand over or under this place; where none does, no height has a value of 0 or less.
  bool stands_near(double x, double y) const;

  const std::vector<PlacedTooth>& teeth() const { return teeth_; }

 private:
  struct Ball {
    Vec3 centre;
    double radius;
  };
  std::vector<PlacedTooth> teeth_;
  std::vector<Ball> balls_;  ///< around each crown
};

/// The part of the patient frame, seen from above, where an arch is worn by the other one.
struct WearRegion {
  /// Half planes by side: points on that side of the midline with (p - from) . backwards > 0. Everywhere when false.
  bool back_teeth_only = false;
  Vec2 from_right = Vec2::Zero(), from_left = Vec2::Zero();
  Vec2 backwards_right = Vec2::UnitY(), backwards_left = Vec2::UnitY();

  bool holds(const Vec3& p) const;
};

class ArchField : public ScalarField {
 public:
  /// `teeth` in order from one end of the arch to the other. `base_z`: height of the flat base.
  ArchField(std::vector<PlacedTooth> teeth, double base_z, std::optional<Palate> palate);

  double value(const Vec3& p) const override;
  /// Crowns and gum alone; both are positive outside.
  double crowns(const Vec3& p) const { return row_.value(p, kReach); }
  double gum(const Vec3& p) const;

  static constexpr double kWearGap = 0.025;  ///< between worn crowns and the other arch, mm

  /// Takes off what would reach into these crowns of the other arch (wear), leaving kWearGap between them.
  void wear_against(std::vector<PlacedTooth> antagonists, const WearRegion& region) {
    antagonists_ = CrownRow(std::move(antagonists));
    region_ = region;
  }

  /// The same solid worn with another gap, mm.
  ArchField worn_with(double gap_mm) const {
    ArchField other = *this;
    other.wear_gap_ = gap_mm;
    return other;
  }

  const std::vector<PlacedTooth>& teeth() const { return row_.teeth(); }
  bool upper() const { return upper_; }
  /// Encloses the solid.
  Box box() const;

 private:
  static constexpr double kReach = 2.0;  ///< of the crowns' values, mm
  double beyond_base(const Vec3& p) const { return upper_ ? p.z() - base_z_ : base_z_ - p.z(); }

  CrownRow row_, antagonists_;
  std::vector<GumCollar> collars_;
  WearRegion region_;
  std::optional<Palate> palate_;
  double base_z_, wear_gap_ = kWearGap;
  bool upper_;
};

}  // namespace intercusp
