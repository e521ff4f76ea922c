#include "serve/wire/ids.h"

#include "base/base64.h"

namespace intercusp::serve {

int hex_value(char c) {
  if (c >= '0' && c <= '9') return c - '0';
  if (c >= 'a' && c <= 'f') return c - 'a' + 10;
  if (c >= 'A' && c <= 'F') return c - 'A' + 10;
  return -1;
}

template <class Array>
std::optional<Array> array_from_text(std::string_view text) {
  constexpr std::size_t size = std::tuple_size<Array>::value;
  if (text.size() != (size * 8 + 5) / 6) return std::nullopt;
  const std::optional<std::string> bytes = from_base64url(std::string(text));
  // The last character has bits to spare: only one spelling names a thing.
  if (!bytes || bytes->size() != size || base64url(*bytes) != text) return std::nullopt;
  return array_from<Array>(bytes->data());
}

template std::optional<ByteArray<16>> array_from_text(std::string_view text);
template std::optional<ByteArray<32>> array_from_text(std::string_view text);

std::optional<TokenHash> hash_from_hex(std::string_view text) {
  TokenHash hash;
  if (text.size() != hash.size() * 2) return std::nullopt;
  for (std::size_t i = 0; i < hash.size(); ++i) {
    const int high = hex_value(text[2 * i]), low = hex_value(text[2 * i + 1]);
    if (high < 0 || low < 0) return std::nullopt;
    hash[i] = static_cast<std::uint8_t>(high * 16 + low);
  }
  return hash;
}

}  // namespace intercusp::serve
