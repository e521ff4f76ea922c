// The binary frames of a room and of the log. All numbers are big-endian.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "serve/wire/ids.h"

namespace intercusp::serve {

/// `result`: of practice, to a teacher's inbox.
enum class Purpose : std::uint8_t { piece = 1, entry = 2, live = 3, result = 4 };

/// Whether these bytes can be a sealed message of that purpose: version, purpose, nonce, at least an empty text and its
/// tag. The server cannot tell more, but it refuses what somebody forgot to seal.
bool looks_sealed(std::string_view bytes, Purpose purpose);

/// The first message in a room.
struct Greeting {
  Token read{};
  SessionId session{};
  std::optional<Token> write;
};
std::optional<Greeting> read_greeting(std::string_view message);

/// The session that a live frame names; nothing when it is no live frame.
std::optional<SessionId> session_of_live(std::string_view frame);

/// As it stands in the answer to GET .../log: number (8), entry id (16), length (4), sealed.
void append_log_frame(std::string& to, std::uint64_t number, const EntryId& id, std::string_view sealed);

/// Kind 2: number (8), entry id (16), sealed.
std::string entry_frame(std::uint64_t number, const EntryId& id, std::string_view sealed);

/// Kind 3: session id (16).
std::string left_frame(const SessionId& session);

}  // namespace intercusp::serve
