// A case file from outside: whatever it holds, reading gives a case or an error, and what was read can be written and
// read.
#include "casebook/case_file.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto c = intercusp::read_case(data, size);
  if (!c.ok()) return 0;
  const auto bytes = intercusp::write_case(c.value());
  if (!intercusp::read_case(bytes.data(), bytes.size()).ok()) __builtin_trap();
  return 0;
}
