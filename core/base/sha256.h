#pragma once

#include <cstddef>
#include <cstdint>
#include <string>

namespace intercusp {

/// SHA-256 (FIPS 180-4), fed in pieces. O(n).
class Sha256 {
 public:
  Sha256();
  void add(const void* data, std::size_t size);
  /// Digest as 64 lower-case hex digits; the object is spent afterwards.
  std::string hex();

 private:
  void block(const std::uint8_t* bytes);
  std::uint32_t state_[8];
  std::uint8_t pending_[64];
  std::size_t pending_size_ = 0;
  std::uint64_t total_ = 0;
};

std::string sha256_hex(const void* data, std::size_t size);

}  // namespace intercusp
