#include "formats/stl.h"

#include "import_promises.h"

using namespace intercusp;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  require_promises(read_mesh(data, size, "scan"), size);
  require_promises(read_text_stl(data, size, "scan"), size);
  // Give the binary reader files of the right size too; chance would hardly find one.
  if (size < 84) return 0;
  std::vector<std::uint8_t> fitting(data, data + 84 + (size - 84) / 50 * 50);
  const auto count = static_cast<std::uint32_t>((size - 84) / 50);
  for (std::size_t i = 0; i < 4; ++i) fitting[80 + i] = static_cast<std::uint8_t>(count >> (8 * i));
  require_promises(read_mesh(fitting.data(), fitting.size(), "scan"), fitting.size());
  return 0;
}
