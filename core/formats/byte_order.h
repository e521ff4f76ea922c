// Numbers of a given byte order in unaligned memory. The shifts compile to single loads.
#pragma once

#include <cstdint>
#include <cstring>
#include <vector>

namespace intercusp {

inline std::uint16_t load_u16_le(const std::uint8_t* p) {
  return static_cast<std::uint16_t>(p[0] | p[1] << 8);
}

inline std::uint32_t load_u32_le(const std::uint8_t* p) {
  return std::uint32_t{p[0]} | std::uint32_t{p[1]} << 8 | std::uint32_t{p[2]} << 16 | std::uint32_t{p[3]} << 24;
}

inline float load_f32_le(const std::uint8_t* p) {
  const std::uint32_t bits = load_u32_le(p);
  float value;
  std::memcpy(&value, &bits, sizeof value);
  return value;
}

inline void append_u16_le(std::vector<std::uint8_t>& out, std::uint16_t value) {
  const std::uint8_t bytes[2] = {static_cast<std::uint8_t>(value), static_cast<std::uint8_t>(value >> 8)};
  out.insert(out.end(), bytes, bytes + 2);
}

inline void append_u32_le(std::vector<std::uint8_t>& out, std::uint32_t value) {
  const std::uint8_t bytes[4] = {static_cast<std::uint8_t>(value), static_cast<std::uint8_t>(value >> 8),
                                 static_cast<std::uint8_t>(value >> 16), static_cast<std::uint8_t>(value >> 24)};
  out.insert(out.end(), bytes, bytes + 4);
}

inline void append_f32_le(std::vector<std::uint8_t>& out, float value) {
  std::uint32_t bits;
  std::memcpy(&bits, &value, sizeof bits);
  append_u32_le(out, bits);
}

}  // namespace intercusp
