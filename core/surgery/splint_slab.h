// The outer form of a splint before the teeth are taken out of it: a horseshoe that follows the crowns of both arches.
#pragma once

#include "anatomy/isosurface.h"
#include "base/result.h"
#include "geometry/height_map.h"
#include "surgery/splint_settings.h"

namespace intercusp {

/// A slab between two gently bent surfaces inside an outline, in the splint's own frame (z away from the lower arch,
/// mm).
class SplintSlab : public ScalarField {
 public:
  /// From the arches as they stand. Error when either shows no crowns, or the crowns leave gaps too wide to bridge.
  static Result<SplintSlab> make(const Mesh& upper, const Mesh& lower, const SplintSettings& settings);

  /// About the distance to the rounded slab, negative inside.
  double value(const Vec3& p) const override;
  double top(double x, double y) const { return top_.between(x, y); }
  double bottom(double x, double y) const { return bottom_.between(x, y); }
  const Box& box() const { return box_; }
  /// Of the outline's area: inside the arch.
  const Vec3& middle() const { return middle_; }
  const HeightMap& outline_map() const { return outline_; }
  const HeightMap& top_map() const { return top_; }
  const HeightMap& bottom_map() const { return bottom_; }

 private:
  Status shape(const Mesh& upper, const Mesh& lower, const SplintSettings& settings);
  Status draw_outline(const std::vector<bool>& crowns, const SplintSettings& settings);
  void find_box();
  HeightMap outline_, top_, bottom_;
  Box box_;
  Vec3 middle_ = Vec3::Zero();
  double rounding_ = 0;
};

}  // namespace intercusp
