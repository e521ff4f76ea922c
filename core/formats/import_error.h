// How errors of the readers name a place, so that all of them read alike.
#pragma once

#include <cstdint>
#include <string>

#include "base/result.h"

namespace intercusp {

Error error_at_byte(const std::string& display_name, std::size_t byte, std::string what, std::string remedy);
Error error_at_line(const std::string& display_name, std::size_t line, std::string what, std::string remedy);

/// 1204 as "1,204".
std::string with_commas(std::uint64_t number);

/// What to do about a file that ends early or holds nonsense.
extern const char* const kExportAgain;

}  // namespace intercusp
