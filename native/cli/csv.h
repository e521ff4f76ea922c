#pragma once

#include <string>

namespace intercusp::cli {

/// One CSV field (RFC 4180): quoted where it holds a comma, a quote or a line break.
inline std::string csv_field(const std::string& text) {
  if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
  std::string quoted = "\"";
  for (const char ch : text) {
    if (ch == '"') quoted += '"';
    quoted += ch;
  }
  return quoted + '"';
}

}  // namespace intercusp::cli
