// Numbers and lists in words, the same on every platform.
#pragma once

#include <string>
#include <vector>

namespace intercusp {

/// With at most `decimals`, without trailing zeros: "0.5", "2", "-1.25".
std::string short_number(double value, int decimals = 2);
/// "15, 16 and 17"
std::string teeth_words(const std::vector<int>& teeth);

}  // namespace intercusp
