#include "formats/obj.h"

#include "import_promises.h"

using namespace intercusp;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  require_promises(read_obj(data, size, "scan"), size);
  return 0;
}
