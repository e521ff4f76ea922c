// Sealed messages, names of pieces, signed entries and live messages of a shared case (docs/review-protocol.md).
#pragma once

#include <cstdint>
#include <map>
#include <string>

#include "base/result.h"
#include "review/review_link.h"

namespace intercusp::secrets {

enum class SealedAs : std::uint8_t { piece = 1, entry = 2, live = 3 };

/// Where a message belongs: it opens nowhere else.
struct SealedPlace {
  SealedAs as = SealedAs::piece;
  std::string folder;  ///< 22 characters
  std::string
      context;  ///< piece: its name as in an address; entry: its id (16 bytes); live: the session's id (16 bytes)
};

/// Under a fresh random nonce.
Result<std::string> seal(const std::string& seal_key, const SealedPlace& place, const std::string& plain);
Result<std::string> open(const std::string& seal_key, const SealedPlace& place, const std::string& sealed);

/// base64url of the keyed hash of what the piece holds.
std::string piece_name(const std::string& name_key, const std::string& plain);
/// Opens a piece and checks that it is what its name says.
Result<std::string> open_piece(const ReviewKeys& keys, const std::string& folder, const std::string& name,
                               const std::string& sealed);

/// Both signatures and the body, as it is sealed.
Result<std::string> sign_entry(const std::string& folder, const std::string& body, const std::string& change_seed,
                               const std::string& author_seed);
/// The body of an entry that both keys have signed for this folder.
Result<std::string> body_of_entry(const std::string& folder, const std::string& signed_entry,
                                  const std::string& change_public, const std::string& author_public);

/// A live message as it is sealed: the change key's signature, or zeros where it moves nothing (empty seed), and the
/// body.
Result<std::string> sign_live(const std::string& folder, const std::string& body, const std::string& change_seed);
struct LiveMessage {
  std::string body;
  bool is_signed = false;  ///< whether what it moves counts
};
/// Error when it is cut short, or carries a signature that is not the change key's.
Result<LiveMessage> read_live(const std::string& folder, const std::string& message, const std::string& change_public);

/// Remembers how far each session has counted, so that a live message cannot come twice or late.
class LiveCounters {
 public:
  /// Error when this session has counted as far already.
  Status take(const std::string& session, std::uint64_t counter);
  void forget(const std::string& session) { highest_.erase(session); }

 private:
  std::map<std::string, std::uint64_t> highest_;
};

}  // namespace intercusp::secrets
