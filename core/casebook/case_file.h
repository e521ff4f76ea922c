#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "casebook/case.h"

namespace intercusp {

/// Version of the case document written by this program; files with a higher major version are refused.
constexpr int kCaseVersion = 1;

/// A case as glTF 2.0 binary (see docs/case-file.md). O(size).
std::vector<std::uint8_t> write_case(const Case& c);

/// Reads what write_case wrote; Errors say what is wrong and at which byte or key. Memory is bounded by the input's
/// size.
Result<Case> read_case(const std::uint8_t* bytes, std::size_t size);

/// Writes `bytes` beside the target, flushes, and renames: the target is old or new, never half.
Status save_atomically(const std::string& path, const std::vector<std::uint8_t>& bytes, bool overwrite);

Result<std::vector<std::uint8_t>> read_file(const std::string& path);

}  // namespace intercusp
