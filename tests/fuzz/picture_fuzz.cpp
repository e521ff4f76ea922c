// The picture of a remark, which anybody with the link for changing may write.
#include "formats/jpeg.h"
#include "require.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto picture = intercusp::read_jpeg({data, data + size}, 640);
  if (!picture) return 0;
  const auto& p = picture.value();
  FUZZ_REQUIRE(p.width > 0 && p.width <= 640 && p.height > 0 && p.height <= 640);
  FUZZ_REQUIRE(p.rgb.size() == static_cast<std::size_t>(p.width) * p.height * 3);
  return 0;
}
