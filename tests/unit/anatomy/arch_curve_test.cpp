#include "anatomy/arch_curve.h"

#include <doctest/doctest.h>

using namespace intercusp;

namespace {

const BetaArch kArch{60, 45};

bool near(double a, double b, double tolerance) {
  return std::abs(a - b) <= tolerance;
}

}  // namespace

// Braun, Hnat, Fender and Legan 1998 (formula from memory); values computed independently in double precision.
TEST_CASE("beta arch of width 60 and depth 45") {
  CHECK(near(kArch.constant(), 3.0314331330207964, 1e-9));
  CHECK(near(kArch.forward(0), 45, 1e-9));
  CHECK(near(kArch.forward(10), 40.953, 0.001));
  CHECK(near(kArch.forward(20), 28.119, 0.001));
  CHECK(near(kArch.forward(30), 0, 0.001));
  CHECK(near(kArch.forward(-30), 0, 0.001));
}

TEST_CASE("length and area of the beta arch") {
  CHECK(near(kArch.length(-30, 30), 114.703, 0.005));
  CHECK(near(kArch.length(-17.5, 17.5), 45.060, 0.002));
  CHECK(near(kArch.area(), 1910.178, 0.01));
}

TEST_CASE("the points of the arch satisfy its formula") {
  for (const double t : {-1.2, -0.4, 0.0, 0.7, 1.5}) {
    const Vec2 p = kArch.at(t);
    CHECK(near(kArch.forward(p.x()), p.y(), 1e-9));
  }
}

TEST_CASE("walking a half arch by chords") {
  const ArchLine line = ArchLine::from_beta(kArch);
  double s = 0;
  for (const double chord : {8.5, 6.5, 7.5, 7.0, 7.0, 10.0, 9.0, 20.0}) {
    const double next = line.after_chord(s, chord);
    CHECK(near((line.at(next) - line.at(s)).norm(), chord, 1e-9));
    CHECK(near(line.nearest(line.at(next)), next, 1e-6));
    s = next;
  }
  const ArchLine inner = line.inside(2);
  for (const double at : {10.0, 25.0, 40.0})
    CHECK(near((line.at(line.nearest(inner.at(at))) - inner.at(at)).norm(), 2, 0.01));
}
