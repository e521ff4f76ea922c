#include "formats/jpeg.h"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdlib>

using namespace intercusp;

namespace {

RgbPicture slope(int width, int height) {
  RgbPicture p;
  p.width = width;
  p.height = height;
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x)
      for (const int v : {x * 255 / width, y * 255 / height, 128}) p.rgb.push_back(static_cast<std::uint8_t>(v));
  return p;
}

}  // namespace

TEST_CASE("a picture is written as JPEG and read again nearly as it was") {
  const RgbPicture before = slope(90, 61);
  const std::vector<std::uint8_t> bytes = write_jpeg(before, 90);
  REQUIRE(bytes.size() > 4);
  CHECK(bytes.size() < before.rgb.size() / 3);
  // ISO/IEC 10918-1: start of image, end of image.
  CHECK((bytes[0] == 0xff && bytes[1] == 0xd8));
  CHECK((bytes[bytes.size() - 2] == 0xff && bytes.back() == 0xd9));
  const auto after = read_jpeg(bytes);
  REQUIRE(after.ok());
  REQUIRE((after.value().width == 90 && after.value().height == 61));
  int worst = 0;
  for (std::size_t i = 0; i < before.rgb.size(); ++i)
    worst = std::max(worst, std::abs(int(before.rgb[i]) - int(after.value().rgb[i])));
  CHECK(worst < 24);
}

TEST_CASE("what is no picture, or a larger one than asked for, is refused; what is cut short harms nothing") {
  const std::vector<std::uint8_t> bytes = write_jpeg(slope(64, 64), 80);
  CHECK_FALSE(read_jpeg({}).ok());
  CHECK_FALSE(read_jpeg({0xff, 0xd8, 0xff}).ok());
  CHECK_FALSE(read_jpeg(std::vector<std::uint8_t>(500, 'x')).ok());
  CHECK(read_jpeg(bytes, 64).ok());
  const auto large = read_jpeg(bytes, 63);
  REQUIRE_FALSE(large.ok());
  CHECK(large.error().what.find("larger than 63") != std::string::npos);
  for (std::size_t length = 0; length < bytes.size(); length += 7) {
    const auto cut = read_jpeg({bytes.begin(), bytes.begin() + static_cast<std::ptrdiff_t>(length)});
    if (cut.ok()) CHECK(cut.value().rgb.size() == 64 * 64 * 3);
  }
  CHECK(write_jpeg({}, 80).empty());
}

TEST_CASE("a shrunk picture keeps its proportions and its mean") {
  const RgbPicture big = slope(600, 300), small = shrunk(big, 120, 90);
  CHECK((small.width == 120 && small.height == 60));
  double before = 0, after = 0;
  for (const std::uint8_t v : big.rgb) before += v;
  for (const std::uint8_t v : small.rgb) after += v;
  CHECK(std::abs(before / big.rgb.size() - after / small.rgb.size()) < 0.6);
  CHECK(shrunk(small, 200, 200).rgb == small.rgb);
}
