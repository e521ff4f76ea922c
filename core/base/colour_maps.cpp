#include "base/colour_maps.h"

#include <algorithm>
#include <cmath>

namespace intercusp {

namespace {

constexpr std::array<Rgb8, 11> kDiverging = {{{5, 48, 97},
                                              {33, 102, 172},
                                              {67, 147, 195},
                                              {146, 197, 222},
                                              {209, 229, 240},
                                              {247, 247, 247},
                                              {254, 224, 182},
                                              {253, 184, 99},
                                              {224, 130, 20},
                                              {179, 88, 6},
                                              {127, 59, 8}}};

// Every eighth of the 256 published colours, 0 to 255; between them straight lines, within 6 of 255 of the table.
constexpr std::array<Rgb8, 33> kCividis = {
    {{0, 34, 78},     {0, 40, 91},     {0, 46, 106},    {5, 51, 113},    {26, 56, 111},   {39, 62, 110},
     {50, 67, 109},   {59, 73, 108},   {67, 78, 108},   {75, 84, 108},   {83, 90, 109},   {90, 95, 110},
     {97, 101, 111},  {104, 106, 113}, {111, 112, 115}, {118, 118, 118}, {125, 124, 120}, {131, 129, 121},
     {139, 135, 120}, {146, 141, 120}, {154, 147, 118}, {162, 153, 117}, {170, 160, 115}, {179, 166, 112},
     {187, 173, 109}, {195, 179, 105}, {204, 186, 100}, {212, 193, 95},  {221, 200, 88},  {230, 208, 81},
     {239, 215, 72},  {248, 223, 60},  {254, 232, 56}}};

template <std::size_t Knots>
Rgb8 between(const std::array<Rgb8, Knots>& knots, double at) {
  const double x = std::clamp(at, 0.0, 1.0) * (Knots - 1);
  const auto i = std::min<std::size_t>(static_cast<std::size_t>(x), Knots - 2);
  const double t = x - static_cast<double>(i);
  Rgb8 out{};
  for (std::size_t k = 0; k < 3; ++k)
    out[k] = static_cast<std::uint8_t>(std::lround(knots[i][k] * (1 - t) + knots[i + 1][k] * t));
  return out;
}

}  // namespace

Rgb8 diverging_colour(double at) {
  return between(kDiverging, at);
}

Rgb8 cividis_colour(double at) {
  return between(kCividis, at);
}

std::vector<std::uint8_t> colour_map_image(int width) {
  std::vector<std::uint8_t> image;
  image.reserve(static_cast<std::size_t>(width) * 8);
  for (int row = 0; row < 2; ++row) {
    for (int i = 0; i < width; ++i) {
      const double at = (i + 0.5) / width;
      const Rgb8 c = row == 0 ? diverging_colour(at) : cividis_colour(at);
      image.insert(image.end(), {c[0], c[1], c[2], 255});
    }
  }
  return image;
}

}  // namespace intercusp
