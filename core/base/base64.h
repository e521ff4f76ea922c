#pragma once

#include <optional>
#include <string>

namespace intercusp {

/// RFC 4648 section 5 (URL- and filename-safe alphabet), without padding.
std::string base64url(const std::string& bytes);

/// The inverse; nothing for text that is not base64url.
std::optional<std::string> from_base64url(const std::string& text);

}  // namespace intercusp
