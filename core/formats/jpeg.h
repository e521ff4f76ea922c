#pragma once

#include <cstdint>
#include <vector>

#include "base/result.h"

namespace intercusp {

/// A picture in memory: rows from the top, three bytes (sRGB) a pixel.
struct RgbPicture {
  int width = 0, height = 0;
  std::vector<std::uint8_t> rgb;  ///< width * height * 3
};

constexpr int kWidestPicture = 2048;  ///< pixels each way that are read

/// A picture as JPEG (ISO/IEC 10918-1, baseline); `quality` 1..100. Empty for an empty picture. O(pixels).
std::vector<std::uint8_t> write_jpeg(const RgbPicture& picture, int quality);

/// Reads a JPEG of at most `most_pixels` each way. Errors: it is none, it is damaged, or it is larger; nothing is
/// reserved for what its header claims before that is within bounds. O(pixels).
Result<RgbPicture> read_jpeg(const std::vector<std::uint8_t>& bytes, int most_pixels = kWidestPicture);

/// The picture so much smaller that it is at most `width` x `height` pixels; each pixel the mean of those it covers.
/// Pictures that fit already stay as they are. O(pixels).
RgbPicture shrunk(const RgbPicture& picture, int width, int height);

}  // namespace intercusp
