#pragma once

#include <array>
#include <cstdint>
#include <vector>

namespace intercusp {

using Rgb8 = std::array<std::uint8_t, 3>;

/// Signed distances: 0 = far apart (blue), 0.5 = touching (near white), 1 = deep overlap (orange to brown). The blue
/// half is ColorBrewer's RdBu, the orange-brown half its PuOr (Harrower and Brewer 2003), both rated safe for
/// colour-blind readers.
Rgb8 diverging_colour(double at);

/// One-sided amounts: cividis (Nunez, Anderton and Renslow 2018, PLoS ONE 13:e0199239), from its published table.
Rgb8 cividis_colour(double at);

/// Both maps as a texture image, `width` x 2 RGBA: row 0 diverging, row 1 cividis.
std::vector<std::uint8_t> colour_map_image(int width);

}  // namespace intercusp
