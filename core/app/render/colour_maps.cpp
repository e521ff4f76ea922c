#include "app/render/colour_maps.h"

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

std::uint8_t channel(double v) {
  return static_cast<std::uint8_t>(std::lround(std::clamp(v, 0.0, 255.0)));
}

}  // namespace

Rgb8 diverging_colour(double at) {
  const double x = std::clamp(at, 0.0, 1.0) * (kDiverging.size() - 1);
  const auto i = std::min<std::size_t>(static_cast<std::size_t>(x), kDiverging.size() - 2);
  const double t = x - static_cast<double>(i);
  Rgb8 out{};
  for (std::size_t k = 0; k < 3; ++k) out[k] = channel(kDiverging[i][k] * (1 - t) + kDiverging[i + 1][k] * t);
  return out;
}

Rgb8 cividis_colour(double at) {
  const double t = std::clamp(at, 0.0, 1.0);
  return {channel(-4.54 - t * (35.34 - t * (2381.73 - t * (6402.7 - t * (7024.72 - t * 2710.57))))),
          channel(32.49 + t * (170.73 + t * (52.82 - t * (131.46 - t * (176.58 - t * 67.37))))),
          channel(81.24 + t * (442.36 - t * (2482.43 - t * (6167.24 - t * (6614.94 - t * 2475.67)))))};
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
