#include "formats/png.h"

#define STB_IMAGE_WRITE_IMPLEMENTATION
#define STB_IMAGE_WRITE_STATIC
#define STBI_WRITE_NO_STDIO
#include <stb/stb_image_write.h>

namespace intercusp {

std::vector<std::uint8_t> write_png(int width, int height, const std::vector<std::uint8_t>& rgb) {
  std::vector<std::uint8_t> out;
  const auto append = [](void* context, void* data, int size) {
    auto& bytes = *static_cast<std::vector<std::uint8_t>*>(context);
    const auto* more = static_cast<const std::uint8_t*>(data);
    bytes.insert(bytes.end(), more, more + size);
  };
  stbi_write_png_to_func(append, &out, width, height, 3, rgb.data(), 3 * width);
  return out;
}

}  // namespace intercusp
