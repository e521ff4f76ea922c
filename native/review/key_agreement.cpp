#include "review/key_agreement.h"

#include <openssl/bn.h>
#include <openssl/core_names.h>
#include <openssl/ec.h>
#include <openssl/evp.h>
#include <openssl/param_build.h>
#include <openssl/params.h>

#include "review/openssl_objects.h"

namespace intercusp::secrets {
namespace {

using CurveKey = Owned<EVP_PKEY, EVP_PKEY_free>;
using CurveContext = Owned<EVP_PKEY_CTX, EVP_PKEY_CTX_free>;
using BigNumber = Owned<BIGNUM, BN_clear_free>;
using ParamBuilder = Owned<OSSL_PARAM_BLD, OSSL_PARAM_BLD_free>;
using Params = Owned<OSSL_PARAM, OSSL_PARAM_free>;

constexpr char kCurve[] = "P-256";
constexpr int kScalarBytes = 32;

/// A key of the curve; `secret` empty: only its public half. Null when the point is none of the curve.
CurveKey curve_key(const std::string& point, const std::string& secret) {
  if (point.size() != kPointBytes) return nullptr;
  const ParamBuilder build(OSSL_PARAM_BLD_new());
  const CurveContext context(EVP_PKEY_CTX_new_from_name(nullptr, "EC", nullptr));
  const BigNumber scalar(secret.empty() ? nullptr : BN_bin2bn(bytes_in(secret), kScalarBytes, nullptr));
  if (!build || !context || (!secret.empty() && (!scalar || secret.size() != kScalarBytes))) return nullptr;
  bool given = OSSL_PARAM_BLD_push_utf8_string(build.get(), OSSL_PKEY_PARAM_GROUP_NAME, kCurve, 0) == 1 &&
               OSSL_PARAM_BLD_push_octet_string(build.get(), OSSL_PKEY_PARAM_PUB_KEY, point.data(), point.size()) == 1;
  if (scalar) given = given && OSSL_PARAM_BLD_push_BN(build.get(), OSSL_PKEY_PARAM_PRIV_KEY, scalar.get()) == 1;
  const Params params(given ? OSSL_PARAM_BLD_to_param(build.get()) : nullptr);
  EVP_PKEY* key = nullptr;
  const int selection = scalar ? EVP_PKEY_KEYPAIR : EVP_PKEY_PUBLIC_KEY;
  const bool made = params && EVP_PKEY_fromdata_init(context.get()) == 1 &&
                    EVP_PKEY_fromdata(context.get(), &key, selection, params.get()) == 1;
  return CurveKey(made ? key : nullptr);
}

}  // namespace

Result<AgreementKey> fresh_agreement_key() {
  const CurveKey key(EVP_EC_gen(kCurve));
  BIGNUM* raw = nullptr;
  AgreementKey out{std::string(kScalarBytes, '\0'), std::string(kPointBytes, '\0')};
  std::size_t size = 0;
  const bool read = key && EVP_PKEY_get_bn_param(key.get(), OSSL_PKEY_PARAM_PRIV_KEY, &raw) == 1 &&
                    EVP_PKEY_get_octet_string_param(key.get(), OSSL_PKEY_PARAM_PUB_KEY, bytes_out(out.point),
                                                    kPointBytes, &size) == 1;
  const BigNumber secret(raw);
  if (!read || size != kPointBytes || BN_bn2binpad(secret.get(), bytes_out(out.secret), kScalarBytes) != kScalarBytes)
    return library_error("make a key");
  return out;
}

Result<std::string> agree(const AgreementKey& mine, const std::string& other) {
  const CurveKey theirs = curve_key(other, {});
  if (!theirs) return Error{"this is no public key", "a sealed result", "ask for the link again"};
  const CurveKey key = curve_key(mine.point, mine.secret);
  const CurveContext context(key ? EVP_PKEY_CTX_new_from_pkey(nullptr, key.get(), nullptr) : nullptr);
  std::string common(kScalarBytes, '\0');
  std::size_t size = common.size();
  const bool derived = context && EVP_PKEY_derive_init(context.get()) == 1 &&
                       EVP_PKEY_derive_set_peer(context.get(), theirs.get()) == 1 &&
                       EVP_PKEY_derive(context.get(), bytes_out(common), &size) == 1;
  if (!derived || size != common.size()) return library_error("agree on a key");
  return common;
}

}  // namespace intercusp::secrets
