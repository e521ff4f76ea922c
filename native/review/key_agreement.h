// ECDH on the curve P-256 (NIST SP 800-56A, FIPS 186), by OpenSSL. Bytes are std::string.
#pragma once

#include <string>

#include "base/result.h"

namespace intercusp::secrets {

constexpr std::size_t kPointBytes = 65;  ///< an uncompressed point: 0x04, x, y

struct AgreementKey {
  std::string secret;  ///< 32 bytes, big-endian
  std::string point;   ///< the public half
};

Result<AgreementKey> fresh_agreement_key();

/// The 32 bytes (x of the common point) that only the holders of either secret get. Error when `other` is no point of
/// the curve.
Result<std::string> agree(const AgreementKey& mine, const std::string& other);

}  // namespace intercusp::secrets
