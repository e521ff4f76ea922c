#include "share/open_entry.h"

#include "base/base64.h"
#include "review/crypto.h"
#include "review/sealing.h"

namespace intercusp::share {

using secrets::SealedAs;

Result<ReviewEntry> open_entry(const secrets::ReviewKeys& keys, const std::string& folder,
                               const secrets::LogFrame& frame) {
  const auto plain = secrets::open(keys.seal_key, {SealedAs::entry, folder, frame.id}, frame.sealed);
  if (!plain) return plain.error();
  const std::size_t signatures = 2 * secrets::kSignatureBytes;
  if (plain.value().size() < signatures) return Error{"an entry is cut short", "the history", {}};
  Result<ReviewEntry> entry = parse_entry(plain.value().substr(signatures));
  if (!entry) return entry;
  const std::string change = from_base64url(entry.value().change).value_or("");
  const std::string author = from_base64url(entry.value().author).value_or("");
  const auto body = secrets::body_of_entry(folder, plain.value(), change, author);
  if (!body) return body.error();
  if (entry.value().id != base64url(frame.id)) return Error{"an entry stands under another's id", "the history", {}};
  return entry;
}

std::string change_key_of(const secrets::ReviewLink& link, const std::vector<ReviewEntry>& entries) {
  for (const ReviewEntry& entry : entries) {
    const std::string key = from_base64url(entry.change).value_or("");
    if (entry.action == "begin" && (link.check.empty() || secrets::check_of(key) == link.check)) return entry.change;
  }
  return {};
}

}  // namespace intercusp::share
