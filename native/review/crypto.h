// The primitives of the review, by OpenSSL: HKDF-SHA256 (RFC 5869), HMAC-SHA256 (RFC 2104), AES-256-GCM (NIST SP
// 800-38D), Ed25519 (RFC 8032). Bytes are std::string. Every error is a sentence.
#pragma once

#include <string>

#include "base/result.h"

namespace intercusp::secrets {

constexpr std::size_t kKeyBytes = 32, kNonceBytes = 12, kTagBytes = 16, kSignatureBytes = 64;

/// `length` bytes from the system's generator.
Result<std::string> random_bytes(std::size_t length);

/// RFC 5869, extract and expand; `length` up to 8160.
Result<std::string> hkdf_sha256(const std::string& secret, const std::string& salt, const std::string& info,
                                std::size_t length);

std::string hmac_sha256(const std::string& key, const std::string& message);
std::string sha256(const std::string& message);

/// Ciphertext with its tag (16 bytes) behind it. `key` 32 bytes, `nonce` 12 bytes, never used twice with one key.
Result<std::string> aes_gcm_seal(const std::string& key, const std::string& nonce, const std::string& bound,
                                 const std::string& plain);
/// The plain text, when key, nonce, bound data and every bit of the sealed text are those it was sealed with.
Result<std::string> aes_gcm_open(const std::string& key, const std::string& nonce, const std::string& bound,
                                 const std::string& sealed);

/// The public half (32 bytes) of an Ed25519 key from its seed (32 bytes).
Result<std::string> ed25519_public(const std::string& seed);
/// 64 bytes; the same for the same message (RFC 8032 5.1.6).
Result<std::string> ed25519_sign(const std::string& seed, const std::string& message);
bool ed25519_verify(const std::string& public_key, const std::string& message, const std::string& signature);

/// Takes the same time wherever they differ.
bool equal_in_constant_time(const std::string& a, const std::string& b);

}  // namespace intercusp::secrets
