#include "serve/wire/frames.h"

namespace intercusp::serve {
namespace {

constexpr std::size_t kSealedOverhead = 1 + 1 + 12 + 16;  // version, purpose, nonce, tag
constexpr char kLive = 1, kEntry = 2, kLeft = 3;

void append_number(std::string& to, std::uint64_t value, int bytes) {
  for (int shift = 8 * (bytes - 1); shift >= 0; shift -= 8) to += static_cast<char>(value >> shift & 255);
}

}  // namespace

bool looks_sealed(std::string_view bytes, Purpose purpose) {
  return bytes.size() >= kSealedOverhead && bytes[0] == 1 && bytes[1] == static_cast<char>(purpose);
}

std::optional<Greeting> read_greeting(std::string_view message) {
  constexpr std::size_t reader = sizeof(Token) + sizeof(SessionId), writer = reader + sizeof(Token);
  if (message.size() != reader && message.size() != writer) return std::nullopt;
  Greeting greeting;
  greeting.read = array_from<Token>(message.data());
  greeting.session = array_from<SessionId>(message.data() + sizeof(Token));
  if (message.size() == writer) greeting.write = array_from<Token>(message.data() + reader);
  return greeting;
}

std::optional<SessionId> session_of_live(std::string_view frame) {
  constexpr std::size_t header = 1 + sizeof(SessionId);
  if (frame.size() < header || frame.size() > kMostLiveBytes || frame[0] != kLive) return std::nullopt;
  if (!looks_sealed(frame.substr(header), Purpose::live)) return std::nullopt;
  return array_from<SessionId>(frame.data() + 1);
}

void append_log_frame(std::string& to, std::uint64_t number, const EntryId& id, std::string_view sealed) {
  append_number(to, number, 8);
  to += bytes_of(id);
  append_number(to, sealed.size(), 4);
  to += sealed;
}

std::string entry_frame(std::uint64_t number, const EntryId& id, std::string_view sealed) {
  std::string frame(1, kEntry);
  frame.reserve(1 + 8 + id.size() + sealed.size());
  append_number(frame, number, 8);
  frame += bytes_of(id);
  frame += sealed;
  return frame;
}

std::string left_frame(const SessionId& session) {
  return std::string(1, kLeft).append(bytes_of(session));
}

}  // namespace intercusp::serve
