#include "formats/jpeg.h"

#include <algorithm>
#include <memory>

#define STB_IMAGE_IMPLEMENTATION
#define STB_IMAGE_STATIC
#define STBI_ONLY_JPEG
#define STBI_NO_STDIO
#define STBI_NO_LINEAR
#define STBI_NO_HDR
#define STBI_NO_FAILURE_STRINGS
#define STBI_MAX_DIMENSIONS 2048
#include <stb/stb_image.h>
#define STB_IMAGE_WRITE_IMPLEMENTATION
#define STB_IMAGE_WRITE_STATIC
#define STBI_WRITE_NO_STDIO
#include <stb/stb_image_write.h>

namespace intercusp {
namespace {

Error no_jpeg() {
  return Error{"this is no picture that can be shown, or it is damaged", "the picture", ""};
}

/// Mean of the pixels [x0, x1) x [y0, y1) of one colour.
std::uint8_t mean_of(const RgbPicture& p, int x0, int x1, int y0, int y1, int colour) {
  unsigned sum = 0, count = 0;
  for (int y = y0; y < y1; ++y) {
    for (int x = x0; x < x1; ++x, ++count) {
      sum += p.rgb[(static_cast<std::size_t>(y) * p.width + x) * 3 + colour];
    }
  }
  return static_cast<std::uint8_t>((sum + count / 2) / count);
}

}  // namespace

std::vector<std::uint8_t> write_jpeg(const RgbPicture& picture, int quality) {
  std::vector<std::uint8_t> out;
  if (picture.width <= 0 || picture.height <= 0) return out;
  const auto append = [](void* context, void* data, int size) {
    auto& bytes = *static_cast<std::vector<std::uint8_t>*>(context);
    const auto* more = static_cast<const std::uint8_t*>(data);
    bytes.insert(bytes.end(), more, more + size);
  };
  stbi_write_jpg_to_func(append, &out, picture.width, picture.height, 3, picture.rgb.data(), quality);
  return out;
}

Result<RgbPicture> read_jpeg(const std::vector<std::uint8_t>& bytes, int most_pixels) {
  const int size = static_cast<int>(std::min<std::size_t>(bytes.size(), 1u << 30));
  RgbPicture picture;
  int colours = 0;
  if (!stbi_info_from_memory(bytes.data(), size, &picture.width, &picture.height, &colours)) return no_jpeg();
  if (picture.width > most_pixels || picture.height > most_pixels)
    return Error{"the picture is larger than " + std::to_string(most_pixels) + " pixels", "the picture", ""};
  const std::unique_ptr<stbi_uc, decltype(&stbi_image_free)> pixels(
      stbi_load_from_memory(bytes.data(), size, &picture.width, &picture.height, &colours, 3), stbi_image_free);
  if (!pixels) return no_jpeg();
  picture.rgb.assign(pixels.get(), pixels.get() + static_cast<std::size_t>(picture.width) * picture.height * 3);
  return picture;
}

RgbPicture shrunk(const RgbPicture& picture, int width, int height) {
  const double scale =
      std::max(static_cast<double>(picture.width) / width, static_cast<double>(picture.height) / height);
  if (scale <= 1 || picture.width <= 0 || picture.height <= 0) return picture;
  RgbPicture out;
  out.width = std::max(1, static_cast<int>(picture.width / scale));
  out.height = std::max(1, static_cast<int>(picture.height / scale));
  out.rgb.reserve(static_cast<std::size_t>(out.width) * out.height * 3);
  const auto at = [](int i, int from, int to) { return static_cast<int>(static_cast<long long>(i) * from / to); };
  for (int y = 0; y < out.height; ++y) {
    for (int x = 0; x < out.width; ++x) {
      for (int colour = 0; colour < 3; ++colour) {
        out.rgb.push_back(mean_of(picture, at(x, picture.width, out.width), at(x + 1, picture.width, out.width),
                                  at(y, picture.height, out.height), at(y + 1, picture.height, out.height), colour));
      }
    }
  }
  return out;
}

}  // namespace intercusp
