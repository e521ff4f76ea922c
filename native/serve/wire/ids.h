// The fixed-size names and secrets of the review protocol (docs/review-protocol.md).
#pragma once

#include <array>
#include <cstdint>
#include <cstring>
#include <functional>
#include <optional>
#include <string>
#include <string_view>

namespace intercusp::serve {

template <std::size_t N>
using ByteArray = std::array<std::uint8_t, N>;

using FolderName = ByteArray<16>;  ///< of a shared case; 22 characters of base64url in an address
using PieceName = ByteArray<32>;   ///< keyed hash of what the piece holds
using EntryId = ByteArray<16>;
using SessionId = ByteArray<16>;
using Token = ByteArray<32>;      ///< shown by who may; never stored
using TokenHash = ByteArray<32>;  ///< SHA-256 of a token: all the server keeps

constexpr std::size_t kMostPieceBytes = (1u << 20) + 64;
constexpr std::size_t kMostEntryBytes = 256u << 10;
constexpr std::size_t kMostLiveBytes = 64u << 10;
constexpr std::size_t kMostJsonBytes = 4u << 10;

template <class Array>
std::string_view bytes_of(const Array& array) {
  return {reinterpret_cast<const char*>(array.data()), array.size()};
}

template <class Array>
Array array_from(const char* bytes) {
  Array array;
  std::memcpy(array.data(), bytes, array.size());
  return array;
}

/// base64url of exactly this many bytes, in its one canonical spelling; nothing otherwise.
template <class Array>
std::optional<Array> array_from_text(std::string_view text);

extern template std::optional<ByteArray<16>> array_from_text(std::string_view text);
extern template std::optional<ByteArray<32>> array_from_text(std::string_view text);

/// 0 to 15, either case; -1 for anything else.
int hex_value(char c);

/// 64 hex digits, either case.
std::optional<TokenHash> hash_from_hex(std::string_view text);

struct FolderHash {
  /// The names are random: their first bytes spread as well as any hash of them.
  std::size_t operator()(const FolderName& name) const {
    std::size_t value;
    std::memcpy(&value, name.data(), sizeof value);
    return value;
  }
};

}  // namespace intercusp::serve
