#pragma once

#include <filesystem>
#include <string>

#include "base/result.h"

namespace intercusp::share {

/// Keeps bytes in a file that this person alone can read; never over one that is there: a key that is lost is lost.
Status write_secret(const std::filesystem::path& path, const std::string& bytes);
Result<std::string> read_secret(const std::filesystem::path& path);

}  // namespace intercusp::share
