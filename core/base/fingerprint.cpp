#include "base/fingerprint.h"

#include "base/sha256.h"

namespace intercusp {

std::string fingerprint_of(const std::string& public_key) {
  const std::string hex = sha256_hex(public_key.data(), public_key.size());
  std::string out;
  for (std::size_t i = 0; i < 20; i += 4) out += (i > 0 ? " " : "") + hex.substr(i, 4);
  return out;
}

}  // namespace intercusp
