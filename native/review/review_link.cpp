#include "review/review_link.h"

#include <vector>

#include "base/base64.h"
#include "review/crypto.h"

namespace intercusp::secrets {
namespace {

constexpr char kMark[] = "#review=";
constexpr std::size_t kCheckBytes = 16;

Error bad_link(const std::string& what) {
  return {what, "the link", "copy the whole link again"};
}

std::vector<std::string> split_at_dots(const std::string& text) {
  std::vector<std::string> parts(1);
  for (const char c : text) {
    if (c == '.') {
      parts.emplace_back();
    } else {
      parts.back() += c;
    }
  }
  return parts;
}

/// Only the one canonical spelling: two links that differ open two cases.
std::optional<std::string> exactly(const std::string& text, std::size_t size) {
  const auto bytes = from_base64url(text);
  return bytes && bytes->size() == size && base64url(*bytes) == text ? bytes : std::nullopt;
}

}  // namespace

Result<ReviewLink> parse_review_link(const std::string& text) {
  const auto mark = text.find(kMark);
  if (mark == std::string::npos) return bad_link("this is no link to a shared case");
  const auto parts = split_at_dots(text.substr(mark + sizeof kMark - 1));
  if (parts[0] != "1") return bad_link("this link was made by another version of this program");
  if (parts.size() != 3 && parts.size() != 4) return bad_link("a part of it is missing");
  ReviewLink link;
  link.server = text.substr(0, mark);
  link.folder = parts[1];
  const auto view = exactly(parts[2], kKeyBytes);
  if (!exactly(link.folder, 16) || !view) return bad_link("a part of it is missing");
  link.view_key = *view;
  if (parts.size() == 3) return link;
  if (const auto check = exactly(parts[3], kCheckBytes)) {
    link.check = *check;
    return link;
  }
  link.change_seed = exactly(parts[3], kKeyBytes);
  if (!link.change_seed) return bad_link("its end is missing");
  const Result<std::string> half = ed25519_public(*link.change_seed);
  if (!half) return half.error();
  link.check = check_of(half.value());
  return link;
}

std::string check_of(const std::string& change_public) {
  return sha256(change_public).substr(0, kCheckBytes);
}

std::string review_link_text(const ReviewLink& link, bool may_change) {
  const std::string text = link.server + kMark + "1." + link.folder + "." + base64url(link.view_key);
  if (may_change && link.change_seed) return text + "." + base64url(*link.change_seed);
  return link.check.empty() ? text : text + "." + base64url(link.check);
}

Result<ReviewKeys> review_keys(const std::string& view_key) {
  ReviewKeys keys;
  for (const auto& [info, key] : {std::pair<const char*, std::string*>{"intercusp review 1 seal", &keys.seal_key},
                                  {"intercusp review 1 name", &keys.name_key},
                                  {"intercusp review 1 read", &keys.read_token}}) {
    Result<std::string> derived = hkdf_sha256(view_key, "", info, kKeyBytes);
    if (!derived) return derived.error();
    *key = std::move(derived).value();
  }
  return keys;
}

Result<ChangeKeys> change_keys(const std::string& change_seed) {
  Result<std::string> token = hkdf_sha256(change_seed, "", "intercusp review 1 write", kKeyBytes);
  if (!token) return token.error();
  Result<std::string> half = ed25519_public(change_seed);
  if (!half) return half.error();
  return ChangeKeys{std::move(token).value(), change_seed, std::move(half).value()};
}

Result<std::string> own_token(const std::string& owner_secret) {
  return hkdf_sha256(owner_secret, "", "intercusp review 1 own", kKeyBytes);
}

}  // namespace intercusp::secrets
