#include "review/crypto.h"

#include <openssl/core_names.h>
#include <openssl/crypto.h>
#include <openssl/evp.h>
#include <openssl/hmac.h>
#include <openssl/kdf.h>
#include <openssl/params.h>
#include <openssl/rand.h>
#include <openssl/sha.h>

#include "review/openssl_objects.h"

namespace intercusp::secrets {
namespace {

using Cipher = Owned<EVP_CIPHER_CTX, EVP_CIPHER_CTX_free>;
using DigestContext = Owned<EVP_MD_CTX, EVP_MD_CTX_free>;
using Key = Owned<EVP_PKEY, EVP_PKEY_free>;
using Kdf = Owned<EVP_KDF, EVP_KDF_free>;
using KdfContext = Owned<EVP_KDF_CTX, EVP_KDF_CTX_free>;

OSSL_PARAM octets(const char* name, const std::string& value) {
  return OSSL_PARAM_construct_octet_string(name, const_cast<char*>(value.data()), value.size());
}

Key private_key(const std::string& seed) {
  if (seed.size() != kKeyBytes) return nullptr;
  return Key(EVP_PKEY_new_raw_private_key(EVP_PKEY_ED25519, nullptr, bytes_in(seed), seed.size()));
}

bool sizes_fit(const std::string& key, const std::string& nonce) {
  return key.size() == kKeyBytes && nonce.size() == kNonceBytes;
}

}  // namespace

Result<std::string> random_bytes(std::size_t length) {
  std::string bytes(length, '\0');
  if (RAND_bytes(bytes_out(bytes), static_cast<int>(length)) != 1) return library_error("make random bytes");
  return bytes;
}

Result<std::string> hkdf_sha256(const std::string& secret, const std::string& salt, const std::string& info,
                                std::size_t length) {
  const Kdf kdf(EVP_KDF_fetch(nullptr, "HKDF", nullptr));
  const KdfContext context(kdf ? EVP_KDF_CTX_new(kdf.get()) : nullptr);
  const std::string digest = "SHA256";
  // No salt is a salt of 32 zero bytes (RFC 5869 2.2); the library wants that left out rather than empty.
  OSSL_PARAM given[5], *next = given;
  *next++ = OSSL_PARAM_construct_utf8_string(OSSL_KDF_PARAM_DIGEST, const_cast<char*>(digest.c_str()), 0);
  *next++ = octets(OSSL_KDF_PARAM_KEY, secret);
  if (!salt.empty()) *next++ = octets(OSSL_KDF_PARAM_SALT, salt);
  *next++ = octets(OSSL_KDF_PARAM_INFO, info);
  *next = OSSL_PARAM_construct_end();
  std::string key(length, '\0');
  if (!context || length == 0 || EVP_KDF_derive(context.get(), bytes_out(key), length, given) != 1) {
    return library_error("derive a key");
  }
  return key;
}

std::string hmac_sha256(const std::string& key, const std::string& message) {
  std::string mac(SHA256_DIGEST_LENGTH, '\0');
  HMAC(EVP_sha256(), key.data(), static_cast<int>(key.size()), bytes_in(message), message.size(), bytes_out(mac),
       nullptr);
  return mac;
}

std::string sha256(const std::string& message) {
  std::string digest(SHA256_DIGEST_LENGTH, '\0');
  SHA256(bytes_in(message), message.size(), bytes_out(digest));
  return digest;
}

Result<std::string> aes_gcm_seal(const std::string& key, const std::string& nonce, const std::string& bound,
                                 const std::string& plain) {
  const Cipher cipher(EVP_CIPHER_CTX_new());
  std::string sealed(plain.size() + kTagBytes, '\0');
  const int size = static_cast<int>(plain.size());
  int done = 0;
  const bool ok =
      cipher && sizes_fit(key, nonce) &&
      EVP_EncryptInit_ex2(cipher.get(), EVP_aes_256_gcm(), bytes_in(key), bytes_in(nonce), nullptr) == 1 &&
      EVP_EncryptUpdate(cipher.get(), nullptr, &done, bytes_in(bound), static_cast<int>(bound.size())) == 1 &&
      EVP_EncryptUpdate(cipher.get(), bytes_out(sealed), &done, bytes_in(plain), size) == 1 &&
      EVP_EncryptFinal_ex(cipher.get(), bytes_out(sealed) + size, &done) == 1 &&
      EVP_CIPHER_CTX_ctrl(cipher.get(), EVP_CTRL_GCM_GET_TAG, kTagBytes, bytes_out(sealed) + size) == 1;
  if (!ok) return library_error("seal this");
  return sealed;
}

Result<std::string> aes_gcm_open(const std::string& key, const std::string& nonce, const std::string& bound,
                                 const std::string& sealed) {
  if (sealed.size() < kTagBytes) return Error{"it is cut short", "a sealed message", "ask for it again"};
  const Cipher cipher(EVP_CIPHER_CTX_new());
  const int size = static_cast<int>(sealed.size() - kTagBytes);
  std::string plain(static_cast<std::size_t>(size), '\0');
  std::string tag = sealed.substr(static_cast<std::size_t>(size));
  int done = 0;
  const bool ready =
      cipher && sizes_fit(key, nonce) &&
      EVP_DecryptInit_ex2(cipher.get(), EVP_aes_256_gcm(), bytes_in(key), bytes_in(nonce), nullptr) == 1 &&
      EVP_DecryptUpdate(cipher.get(), nullptr, &done, bytes_in(bound), static_cast<int>(bound.size())) == 1 &&
      EVP_DecryptUpdate(cipher.get(), bytes_out(plain), &done, bytes_in(sealed), size) == 1 &&
      EVP_CIPHER_CTX_ctrl(cipher.get(), EVP_CTRL_GCM_SET_TAG, kTagBytes, bytes_out(tag)) == 1;
  if (!ready) return library_error("open this");
  unsigned char none[kTagBytes];
  if (EVP_DecryptFinal_ex(cipher.get(), none, &done) == 1) return plain;
  OPENSSL_cleanse(plain.data(), plain.size());
  return Error{"it was changed on its way, stands in another place than it was sealed for, or belongs to another case",
               "a sealed message", "nothing of it was taken over"};
}

Result<std::string> ed25519_public(const std::string& seed) {
  const Key key = private_key(seed);
  std::string half(kKeyBytes, '\0');
  std::size_t size = half.size();
  if (!key || EVP_PKEY_get_raw_public_key(key.get(), bytes_out(half), &size) != 1) return library_error("use this key");
  return half;
}

Result<std::string> ed25519_sign(const std::string& seed, const std::string& message) {
  const Key key = private_key(seed);
  const DigestContext context(EVP_MD_CTX_new());
  std::string signature(kSignatureBytes, '\0');
  std::size_t size = signature.size();
  const bool ok = key && context && EVP_DigestSignInit(context.get(), nullptr, nullptr, nullptr, key.get()) == 1 &&
                  EVP_DigestSign(context.get(), bytes_out(signature), &size, bytes_in(message), message.size()) == 1;
  if (!ok) return library_error("sign this");
  return signature;
}

bool ed25519_verify(const std::string& public_key, const std::string& message, const std::string& signature) {
  if (public_key.size() != kKeyBytes || signature.size() != kSignatureBytes) return false;
  const Key key(EVP_PKEY_new_raw_public_key(EVP_PKEY_ED25519, nullptr, bytes_in(public_key), public_key.size()));
  const DigestContext context(EVP_MD_CTX_new());
  return key && context && EVP_DigestVerifyInit(context.get(), nullptr, nullptr, nullptr, key.get()) == 1 &&
         EVP_DigestVerify(context.get(), bytes_in(signature), signature.size(), bytes_in(message), message.size()) == 1;
}

bool equal_in_constant_time(const std::string& a, const std::string& b) {
  return a.size() == b.size() && CRYPTO_memcmp(a.data(), b.data(), a.size()) == 0;
}

}  // namespace intercusp::secrets
