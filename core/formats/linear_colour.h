// Between the 8-bit sRGB of a stored colour and the linear light of glTF's COLOR_0 (IEC 61966-2-1 transfer curve).
#pragma once

#include <cstdint>

namespace intercusp {

/// Linear light, 65535 = full, of an sRGB byte. 16 bits keep all 256 levels apart (8 bits would merge the dark ones).
std::uint16_t linear_from_srgb(std::uint8_t srgb);

/// The sRGB byte whose linear value is nearest; undoes linear_from_srgb exactly.
std::uint8_t srgb_from_linear(std::uint16_t linear);

}  // namespace intercusp
