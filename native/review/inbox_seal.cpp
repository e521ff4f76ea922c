#include "review/inbox_seal.h"

#include "review/crypto.h"

namespace intercusp::secrets {
namespace {

constexpr char kInboxVersion = 1, kInboxPurpose = 4;
constexpr std::size_t kPointAt = 2, kNonceAt = kPointAt + kPointBytes, kTextAt = kNonceAt + kNonceBytes;

std::string bound_to(const InboxPlace& place) {
  return std::string("intercusp practice 1") + kInboxPurpose + place.folder + '\0' + place.entry_id +
         sha256(place.set_code);
}

/// Both halves are in it: a message belongs to this pair alone.
Result<std::string> message_key(const AgreementKey& mine, const std::string& other, const std::string& of_message,
                                const std::string& of_teacher) {
  const auto common = agree(mine, other);
  if (!common) return common.error();
  const std::string info = std::string("intercusp practice 1 inbox") + '\0' + of_message + of_teacher;
  return hkdf_sha256(common.value(), "", info, kKeyBytes);
}

Error not_opened(const std::string& what) {
  return {what, "a sealed result", "it was left out"};
}

}  // namespace

Result<std::string> seal_result(const std::string& to, const InboxPlace& place, const std::string& plain) {
  const auto once = fresh_agreement_key();
  if (!once) return once.error();
  const std::string& point = once.value().point;
  const auto key = message_key(once.value(), to, point, to);
  if (!key) return key.error();
  const auto nonce = random_bytes(kNonceBytes);
  if (!nonce) return nonce.error();
  const auto sealed = aes_gcm_seal(key.value(), nonce.value(), bound_to(place), plain);
  if (!sealed) return sealed.error();
  return std::string{kInboxVersion, kInboxPurpose} + point + nonce.value() + sealed.value();
}

Result<std::string> open_result(const AgreementKey& mine, const InboxPlace& place, const std::string& sealed) {
  if (sealed.size() < kTextAt + kTagBytes) return not_opened("it is cut short");
  if (sealed[0] != kInboxVersion) return not_opened("it was sealed by another version of this program");
  if (sealed[1] != kInboxPurpose) return not_opened("it was sealed for another purpose");
  const std::string point = sealed.substr(kPointAt, kPointBytes);
  const auto key = message_key(mine, point, point, mine.point);
  if (!key) return key.error();
  return aes_gcm_open(key.value(), sealed.substr(kNonceAt, kNonceBytes), bound_to(place), sealed.substr(kTextAt));
}

}  // namespace intercusp::secrets
