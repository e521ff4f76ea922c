// A recipe link from outside, as base64url text and as the JSON inside it.
#include "base/base64.h"
#include "casebook/recipe_link.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string text(reinterpret_cast<const char*>(data), size);
  (void)intercusp::parse_recipe_link(text).ok();
  (void)intercusp::parse_recipe_link(intercusp::base64url(text)).ok();
  return 0;
}
