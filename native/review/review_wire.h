// What a review server sends, as docs/review-protocol.md has it: entries of the log, messages of the room.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "base/result.h"

namespace intercusp::secrets {

struct LogFrame {
  std::uint64_t number = 0;
  std::string id;  ///< 16 bytes
  std::string sealed;
};

/// The answer to a request for the log. Errors: it is cut short.
Result<std::vector<LogFrame>> read_log(const std::string& bytes);
/// The same bytes as the server sends them.
std::string log_bytes(const LogFrame& frame);

struct RoomMessage {
  enum class Kind : std::uint8_t { live = 1, entry = 2, left = 3 };
  Kind kind = Kind::live;
  std::string session;  ///< 16 bytes; of live and left
  LogFrame entry;       ///< of entry
  std::string sealed;   ///< of live
};

/// Nothing where it is no message.
std::optional<RoomMessage> read_room_message(const std::string& bytes);
std::string live_bytes(const std::string& session, const std::string& sealed);

}  // namespace intercusp::secrets
