// One entry of the history of a shared case: who did what, on which version (docs/review-protocol.md). No network and
// no signatures here: whoever hands a body in has checked those.
#pragma once

#include <cstdint>
#include <map>
#include <string>

#include <nlohmann/json.hpp>

#include "base/result.h"

namespace intercusp {

/// Largest body, bytes; sealed and signed it stays below the server's limit of 256 KiB.
constexpr std::size_t kLongestEntry = 250 * 1024;
constexpr std::size_t kLongestRemark = 4000;        ///< bytes of a remark or a reply
constexpr std::size_t kLongestPicture = 48 * 1024;  ///< bytes of the picture of a remark
constexpr std::size_t kLongestName = 80;            ///< bytes of a name, a role or a plan's name

struct ReviewEntry {
  std::string body;    ///< the canonical text that was signed
  std::string sha256;  ///< of the body, 64 hex digits
  std::string id;      ///< b64 of 16 bytes
  std::string author;  ///< b64 of the author's public key
  std::string change;  ///< b64 of the public half of the change key
  std::string name, role;
  std::string before;  ///< sha256 of the author's previous body; empty for the first
  std::string action;  ///< begin, plan, landmark, ...
  std::uint64_t count = 0, clock = 0;
  std::int64_t time_ms = 0;                   ///< since 1970, by the author's clock
  std::map<std::string, std::uint64_t> seen;  ///< author: count, when it was written
  nlohmann::json fields;                      ///< the whole body
};

/// The order in which everybody merges: clock, author, count; then the bytes, so that even a repeated count has one.
bool merges_before(const ReviewEntry& a, const ReviewEntry& b);

/// The one text of a JSON value: keys sorted, no spaces, shortest numbers. What is signed and hashed.
std::string canonical_text(const nlohmann::json& value);

/// Reads and checks a body: every field of its kind is there and within bounds, and the text is canonical. A kind that
/// this version does not know passes with its common fields checked. O(size).
Result<ReviewEntry> parse_entry(const std::string& body);

}  // namespace intercusp
