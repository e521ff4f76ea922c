// The line of contacts of a dental arch, seen from above.
#pragma once

#include <optional>
#include <vector>

#include "geometry/types.h"

namespace intercusp {

using Vec2 = Eigen::Vector2d;

/// Arch form as a beta function (Braun, Hnat, Fender and Legan, Angle Orthod 1998;68:29-36, formula recalled from
/// memory and fixed by algebra): Y(X) = 2^1.6 D (1/2 + X/W)^0.8 (1/2 - X/W)^0.8, with Y measured forwards from the
/// second-molar line.
struct BetaArch {
  double width_mm = 60;   ///< W, at the second molars
  double depth_mm = 45;   ///< D, from the second-molar line to the incisors
  double exponent = 0.8;  ///< Braun's; smaller is squarer

  double constant() const;  ///< 4^exponent, the value for which Y(0) = D: 2^1.6 with Braun's exponent
  double forward(double x) const;
  /// Point at angle t: X = (W/2) sin t, where uniform steps do not miss the steep ends.
  Vec2 at(double t) const;
  /// Length of the curve between two abscissae, Simpson's rule in the angle.
  double length(double x_from, double x_to) const;
  double area() const;
};

/// A half arch from the midline outwards as a fine polyline: x away from the midline, y backwards. Beyond its end the
/// last segment is continued.
class ArchLine {
 public:
  explicit ArchLine(std::vector<Vec2> points);

  static ArchLine from_beta(const BetaArch& arch);
  /// Moved inwards by `inward_mm`, perpendicular to itself.
  ArchLine inside(double inward_mm) const;

  double length() const { return along_.back(); }
  Vec2 at(double s) const { return on_segment(segment(s, 0, points_.size() - 2), s); }
  Vec2 direction(double s) const;
  /// Arc position, beyond `s`, of the point at straight distance `chord` from the point at `s`: where a tooth of that
  /// width ends that begins at `s`.
  double after_chord(double s, double chord) const;
  /// Arc position of the point nearest to `p`.
  double nearest(const Vec2& p) const;

 private:
  /// The one on which `s` lies, where it is one of these; the first and the last go on straight.
  std::size_t segment(double s, std::size_t first, std::size_t last) const;
  Vec2 on_segment(std::size_t i, double s) const;
  std::vector<Vec2> points_;
  std::vector<double> along_;
};

}  // namespace intercusp
