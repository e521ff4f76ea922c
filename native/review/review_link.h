// The links of a shared case and the keys that they carry (docs/review-protocol.md).
#pragma once

#include <optional>
#include <string>

#include "base/result.h"

namespace intercusp::secrets {

/// What one link holds. The keys are bytes, 32 each.
struct ReviewLink {
  std::string server;  ///< "https://host:port/", as it stands before the '#'
  std::string folder;  ///< 22 characters
  std::string view_key;
  std::optional<std::string> change_seed;
  std::string check;  ///< of the public change key (16 bytes); empty in a view link that does not name it
};

/// What somebody with a link can do.
struct ReviewKeys {
  std::string seal_key, name_key, read_token;
};
struct ChangeKeys {
  std::string write_token, sign_seed, public_key;
};

Result<ReviewLink> parse_review_link(const std::string& text);
/// The first 16 bytes of SHA-256 of a public change key: whose signatures count.
std::string check_of(const std::string& change_public);
std::string review_link_text(const ReviewLink& link, bool may_change);

Result<ReviewKeys> review_keys(const std::string& view_key);
Result<ChangeKeys> change_keys(const std::string& change_seed);
Result<std::string> own_token(const std::string& owner_secret);

}  // namespace intercusp::secrets
