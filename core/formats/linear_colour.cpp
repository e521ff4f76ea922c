#include "formats/linear_colour.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace intercusp {
namespace {

std::array<std::uint16_t, 256> make_table() {
  std::array<std::uint16_t, 256> table{};
  for (std::size_t i = 0; i < table.size(); ++i) {
    const double s = static_cast<double>(i) / 255.0;
    const double linear = s <= 0.04045 ? s / 12.92 : std::pow((s + 0.055) / 1.055, 2.4);
    table[i] = static_cast<std::uint16_t>(std::lround(linear * 65535.0));
  }
  return table;
}

const std::array<std::uint16_t, 256>& table() {
  static const std::array<std::uint16_t, 256> values = make_table();
  return values;
}

}  // namespace

std::uint16_t linear_from_srgb(std::uint8_t srgb) {
  return table()[srgb];
}

std::uint8_t srgb_from_linear(std::uint16_t linear) {
  const auto& levels = table();
  const auto above = std::lower_bound(levels.begin(), levels.end(), linear);
  if (above == levels.begin()) return 0;
  const bool below_is_nearer = above == levels.end() || linear - *(above - 1) < *above - linear;
  return static_cast<std::uint8_t>((below_is_nearer ? above - 1 : above) - levels.begin());
}

}  // namespace intercusp
