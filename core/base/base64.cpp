#include "base/base64.h"

#include <cstdint>

namespace intercusp {

namespace {
constexpr char kAlphabet[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";

int value_of(char ch) {
  if (ch >= 'A' && ch <= 'Z') return ch - 'A';
  if (ch >= 'a' && ch <= 'z') return ch - 'a' + 26;
  if (ch >= '0' && ch <= '9') return ch - '0' + 52;
  if (ch == '-') return 62;
  return ch == '_' ? 63 : -1;
}
}  // namespace

std::string base64url(const std::string& bytes) {
  std::string text;
  std::uint32_t bits = 0;
  int held = 0;
  for (const char ch : bytes) {
    bits = bits << 8 | static_cast<std::uint8_t>(ch);
    held += 8;
    while (held >= 6) text += kAlphabet[(bits >> (held -= 6)) & 63];
  }
  if (held > 0) text += kAlphabet[(bits << (6 - held)) & 63];
  return text;
}

std::optional<std::string> from_base64url(const std::string& text) {
  if (text.size() % 4 == 1) return std::nullopt;
  std::string bytes;
  std::uint32_t bits = 0;
  int held = 0;
  for (const char ch : text) {
    const int value = value_of(ch);
    if (value < 0) return std::nullopt;
    bits = bits << 6 | static_cast<std::uint32_t>(value);
    held += 6;
    if (held >= 8) bytes += static_cast<char>((bits >> (held -= 8)) & 255);
  }
  return bytes;
}

}  // namespace intercusp
