#pragma once

#include <cstdint>
#include <vector>

namespace intercusp {

/// A picture as PNG (ISO/IEC 15948), compressed. `rgb` holds rows from the top, three
/// bytes a pixel. O(pixels).
std::vector<std::uint8_t> write_png(int width, int height, const std::vector<std::uint8_t>& rgb);

}  // namespace intercusp
