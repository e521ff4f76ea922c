// Random numbers that are the same on every platform.
#pragma once

#include <cstdint>

namespace intercusp {

/// splitmix64 (Steele, Lea and Flood 2014; public-domain constants by Vigna).
class FixedRandom {
 public:
  explicit FixedRandom(std::uint64_t seed) : state_(seed) {}
  std::uint64_t next() {
    std::uint64_t z = (state_ += 0x9e3779b97f4a7c15ull);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9ull;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebull;
    return z ^ (z >> 31);
  }
  /// Uniform in [low, high): exact arithmetic on 53 bits.
  double between(double low, double high) {
    return low + (high - low) * (static_cast<double>(next() >> 11) * 0x1.0p-53);
  }
  std::uint32_t below(std::uint32_t count) { return static_cast<std::uint32_t>(next() % count); }

 private:
  std::uint64_t state_;
};

}  // namespace intercusp
