#include "share/signed_result.h"

#include "review/crypto.h"
#include "share/person_key.h"

namespace intercusp::share {

Result<std::string> signed_result(const std::string& set_code, const SetResult& result) {
  const auto seed = person_seed();
  if (!seed) return seed.error();
  const auto key = secrets::ed25519_public(seed.value());
  if (!key) return key.error();
  const auto signature = secrets::ed25519_sign(seed.value(), bytes_to_sign(set_code, result));
  if (!signature) return signature.error();
  return result_code(set_code, result, key.value(), signature.value());
}

bool signature_fits(const ReadResult& read) {
  return read.result.key.empty() || secrets::ed25519_verify(read.result.key, read.signed_bytes, read.signature);
}

}  // namespace intercusp::share
