#include "review/sealing.h"

#include "base/base64.h"
#include "review/crypto.h"

namespace intercusp::secrets {
namespace {

constexpr char kVersion = 1;
constexpr std::size_t kHeader = 2 + kNonceBytes;

std::string bound_data(const SealedPlace& place) {
  return std::string("intercusp review 1") + static_cast<char>(place.as) + place.folder + '\0' + place.context;
}

/// What is signed: its kind, the folder it is for, and the body.
std::string signed_text(const char* kind, const std::string& folder, const std::string& body) {
  return kind + folder + '\0' + body;
}

constexpr char kEntryKind[] = "intercusp review 1 entry", kLiveKind[] = "intercusp review 1 live";

Error refused(const std::string& what) {
  return {what, "a sealed message", "nothing of it was taken over"};
}

}  // namespace

Result<std::string> seal(const std::string& seal_key, const SealedPlace& place, const std::string& plain) {
  const Result<std::string> nonce = random_bytes(kNonceBytes);
  if (!nonce) return nonce.error();
  Result<std::string> sealed = aes_gcm_seal(seal_key, nonce.value(), bound_data(place), plain);
  if (!sealed) return sealed.error();
  return std::string{kVersion, static_cast<char>(place.as)} + nonce.value() + sealed.value();
}

Result<std::string> open(const std::string& seal_key, const SealedPlace& place, const std::string& sealed) {
  if (sealed.size() < kHeader + kTagBytes) return refused("it is cut short");
  if (sealed[0] != kVersion) return refused("it was sealed by another version of this program");
  if (sealed[1] != static_cast<char>(place.as)) return refused("it was sealed for another purpose");
  return aes_gcm_open(seal_key, sealed.substr(2, kNonceBytes), bound_data(place), sealed.substr(kHeader));
}

std::string piece_name(const std::string& name_key, const std::string& plain) {
  return base64url(hmac_sha256(name_key, plain));
}

Result<std::string> open_piece(const ReviewKeys& keys, const std::string& folder, const std::string& name,
                               const std::string& sealed) {
  Result<std::string> plain = open(keys.seal_key, {SealedAs::piece, folder, name}, sealed);
  if (plain && !equal_in_constant_time(piece_name(keys.name_key, plain.value()), name)) {
    return refused("this piece holds something else than its name says");
  }
  return plain;
}

Result<std::string> sign_entry(const std::string& folder, const std::string& body, const std::string& change_seed,
                               const std::string& author_seed) {
  const std::string text = signed_text(kEntryKind, folder, body);
  const Result<std::string> change = ed25519_sign(change_seed, text);
  if (!change) return change.error();
  const Result<std::string> author = ed25519_sign(author_seed, text);
  if (!author) return author.error();
  return change.value() + author.value() + body;
}

Result<std::string> body_of_entry(const std::string& folder, const std::string& signed_entry,
                                  const std::string& change_public, const std::string& author_public) {
  if (signed_entry.size() < 2 * kSignatureBytes) return refused("this entry is cut short");
  const std::string body = signed_entry.substr(2 * kSignatureBytes);
  const std::string text = signed_text(kEntryKind, folder, body);
  if (!ed25519_verify(change_public, text, signed_entry.substr(0, kSignatureBytes))) {
    return refused("this entry was not made with the link for changing");
  }
  if (!ed25519_verify(author_public, text, signed_entry.substr(kSignatureBytes, kSignatureBytes))) {
    return refused("this entry was not signed by the person that it names");
  }
  return body;
}

Result<std::string> sign_live(const std::string& folder, const std::string& body, const std::string& change_seed) {
  if (change_seed.empty()) return std::string(kSignatureBytes, '\0') + body;
  const Result<std::string> signature = ed25519_sign(change_seed, signed_text(kLiveKind, folder, body));
  if (!signature) return signature.error();
  return signature.value() + body;
}

Result<LiveMessage> read_live(const std::string& folder, const std::string& message, const std::string& change_public) {
  if (message.size() < kSignatureBytes) return refused("this live message is cut short");
  const std::string signature = message.substr(0, kSignatureBytes);
  LiveMessage live{message.substr(kSignatureBytes), signature != std::string(kSignatureBytes, '\0')};
  if (live.is_signed && !ed25519_verify(change_public, signed_text(kLiveKind, folder, live.body), signature)) {
    return refused("this live message was not made with the link for changing");
  }
  return live;
}

Status LiveCounters::take(const std::string& session, std::uint64_t counter) {
  const auto [highest, is_new] = highest_.emplace(session, counter);
  if (!is_new && counter <= highest->second) return refused("this live message came a second time, or too late");
  highest->second = counter;
  return Done{};
}

}  // namespace intercusp::secrets
