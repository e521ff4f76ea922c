#include "base/colour_maps.h"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdlib>

using namespace intercusp;

namespace {

bool near_to(const Rgb8& a, const Rgb8& b, int within) {
  for (std::size_t k = 0; k < 3; ++k)
    if (std::abs(static_cast<int>(a[k]) - static_cast<int>(b[k])) > within) return false;
  return true;
}

/// Relative luminance of an sRGB colour (IEC 61966-2-1).
double luminance(const Rgb8& c) {
  const auto linear = [](std::uint8_t v) {
    const double s = v / 255.0;
    return s <= 0.04045 ? s / 12.92 : std::pow((s + 0.055) / 1.055, 2.4);
  };
  return 0.2126 * linear(c[0]) + 0.7152 * linear(c[1]) + 0.0722 * linear(c[2]);
}

}  // namespace

// Entries of the published table of 256 colours: Nunez, Anderton and Renslow 2018, PLoS ONE 13:e0199239 (supplement).
TEST_CASE("cividis is the published table") {
  CHECK(near_to(cividis_colour(0), {0, 34, 78}, 1));
  CHECK(near_to(cividis_colour(64 / 255.0), {67, 78, 108}, 2));
  CHECK(near_to(cividis_colour(128 / 255.0), {125, 124, 120}, 2));
  CHECK(near_to(cividis_colour(191 / 255.0), {187, 173, 109}, 2));
  CHECK(near_to(cividis_colour(1), {254, 232, 56}, 1));
}

TEST_CASE("amounts grow lighter, signed distances are lightest at touching") {
  for (int i = 1; i <= 100; ++i) {
    CHECK(luminance(cividis_colour(i / 100.0)) > luminance(cividis_colour((i - 1) / 100.0)) - 0.002);
    const double before = luminance(diverging_colour((i - 1) / 100.0)), now = luminance(diverging_colour(i / 100.0));
    CHECK((i <= 50 ? now >= before : now <= before));
  }
}

// ColorBrewer 2.0 (Harrower and Brewer 2003): ends and middle of RdBu and PuOr in eleven classes.
TEST_CASE("the diverging map joins ColorBrewer's blue and its orange-brown") {
  CHECK(near_to(diverging_colour(0), {5, 48, 97}, 0));
  CHECK(near_to(diverging_colour(0.2), {67, 147, 195}, 1));
  CHECK(near_to(diverging_colour(0.5), {247, 247, 247}, 0));
  CHECK(near_to(diverging_colour(0.8), {224, 130, 20}, 1));
  CHECK(near_to(diverging_colour(1), {127, 59, 8}, 0));
  CHECK(near_to(diverging_colour(-3), diverging_colour(0), 0));
  CHECK(near_to(diverging_colour(7), diverging_colour(1), 0));
}
