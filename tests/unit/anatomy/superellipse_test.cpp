#include "anatomy/superellipse.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace intercusp;

// Computed: the norm by its definition, with the library's pow.
TEST_CASE("the tabulated norm is the norm") {
  for (const double n : {2.0, 2.25, 2.3, 2.6, 3.0, 4.0}) {
    CAPTURE(n);
    const OutlineNorm& norm = OutlineNorm::of(n);
    double worst = 0;
    for (double x = 0; x <= 2; x += 0.0137)
      for (double y = 0; y <= 2; y += 0.0171) {
        const double exact = std::pow(std::pow(x, n) + std::pow(y, n), 1 / n);
        worst = std::max(worst, std::abs(norm(x, y) - exact));
      }
    CHECK(worst < 1e-7);
  }
  CHECK(OutlineNorm::of(2.3)(0, 0) == 0);
  CHECK(&OutlineNorm::of(2.3) == &OutlineNorm::of(2.3));
}

TEST_CASE("the outline is where the half widths say, on every side") {
  const OutlineWidths w{4, 5, 3, 2};
  const OutlineNorm& norm = OutlineNorm::of(2.5);
  CHECK(std::abs(superellipse(4, 0, w, norm)) < 1e-12);
  CHECK(std::abs(superellipse(-5, 0, w, norm)) < 1e-12);
  CHECK(std::abs(superellipse(0, 3, w, norm)) < 1e-12);
  CHECK(std::abs(superellipse(0, -2, w, norm)) < 1e-12);
  CHECK(superellipse(1, 1, w, norm) < 0);
  CHECK(superellipse(4, 3, w, norm) > 0);
}
