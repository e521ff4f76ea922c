// Results sealed to a teacher's public key (docs/review-protocol.md, "A teacher's inbox").
#pragma once

#include <string>

#include "base/result.h"
#include "review/key_agreement.h"

namespace intercusp::secrets {

/// Where a result belongs: it opens nowhere else.
struct InboxPlace {
  std::string folder;    ///< 22 characters
  std::string entry_id;  ///< 16 bytes
  std::string set_code;
};

/// Seals to the public key `to` (65 bytes), under a key pair of this one message.
Result<std::string> seal_result(const std::string& to, const InboxPlace& place, const std::string& plain);
Result<std::string> open_result(const AgreementKey& mine, const InboxPlace& place, const std::string& sealed);

}  // namespace intercusp::secrets
