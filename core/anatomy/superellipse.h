#pragma once

#include <array>

namespace intercusp {

/// Half widths of an outline on its four sides.
struct OutlineWidths {
  double plus_x = 1, minus_x = 1, plus_y = 1, minus_y = 1;
};

/// The norm (x^n + y^n)^(1/n) of two numbers that are not negative. A surface asks for it millions of times: it is the
/// larger number times a smooth function of their ratio, tabulated once for each exponent and interpolated with its
/// slopes (within 1e-7 of the value for n from 2 to 4), the same on every machine.
class OutlineNorm {
 public:
  /// The table of this exponent, made when first asked for and kept.
  static const OutlineNorm& of(double exponent);

  double operator()(double x, double y) const;

 private:
  explicit OutlineNorm(double exponent);

  static constexpr std::size_t kSteps = 256;
  struct Node {
    double value = 1, slope = 0;
  };
  std::array<Node, kSteps + 2> nodes_{};
};

/// About the distance to the outline |x/hx|^n + |y/hy|^n = 1, whose half widths may differ from side to side; negative
/// inside. It is the norm less one, over a gradient that is the same on all sides, so that the value is continuous
/// everywhere.
double superellipse(double x, double y, const OutlineWidths& w, const OutlineNorm& norm);

}  // namespace intercusp
