#pragma once

#include <string>

namespace intercusp {

/// The first 20 hex digits of SHA-256 of a public key (bytes) in groups of four, "3f2a 91c0 ...": short enough to be
/// compared by phone.
std::string fingerprint_of(const std::string& public_key);

}  // namespace intercusp
