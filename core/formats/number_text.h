// Numbers in text, read the same on every platform and under every locale. (The web build's library has no
// std::from_chars for floating point.)
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace intercusp {

enum class NumberKind { finite, not_finite, no_number };

/// Reads all of `word` as a decimal number, correctly rounded. `not_finite` for nan, inf and what exceeds a float;
/// `no_number` for other words and for words over 128 characters.
NumberKind read_number(std::string_view word, double& value);

/// Reads all of `word` as a whole number with optional sign; nothing when it is not one or exceeds 64 bits.
std::optional<std::int64_t> read_whole(std::string_view word);

/// Appends a finite float with as few figures (up to 9) as read back to the same float.
void append_decimal(std::string& text, float value);

}  // namespace intercusp
