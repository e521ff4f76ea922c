#include "review/review_wire.h"

namespace intercusp::secrets {
namespace {

constexpr std::size_t kIdBytes = 16, kNumberBytes = 8, kLengthBytes = 4;
constexpr std::size_t kFrameHeader = kNumberBytes + kIdBytes + kLengthBytes;

std::uint64_t number_in(const std::string& bytes, std::size_t at, std::size_t size) {
  std::uint64_t number = 0;
  for (std::size_t i = 0; i < size; ++i) number = number << 8 | static_cast<unsigned char>(bytes[at + i]);
  return number;
}

std::string number_bytes(std::uint64_t number, std::size_t size) {
  std::string bytes(size, '\0');
  for (std::size_t i = size; i-- > 0; number >>= 8) bytes[i] = static_cast<char>(number & 0xff);
  return bytes;
}

}  // namespace

Result<std::vector<LogFrame>> read_log(const std::string& bytes) {
  std::vector<LogFrame> frames;
  for (std::size_t at = 0; at < bytes.size();) {
    const bool whole = bytes.size() - at >= kFrameHeader;
    const std::uint64_t length = whole ? number_in(bytes, at + kNumberBytes + kIdBytes, kLengthBytes) : 0;
    if (!whole || length > bytes.size() - at - kFrameHeader) {
      return Error{"the history ends in the middle of an entry", "the server's answer", "try again"};
    }
    frames.push_back({number_in(bytes, at, kNumberBytes), bytes.substr(at + kNumberBytes, kIdBytes),
                      bytes.substr(at + kFrameHeader, length)});
    at += kFrameHeader + length;
  }
  return frames;
}

std::string log_bytes(const LogFrame& frame) {
  return number_bytes(frame.number, kNumberBytes) + frame.id + number_bytes(frame.sealed.size(), kLengthBytes) +
         frame.sealed;
}

std::optional<RoomMessage> read_room_message(const std::string& bytes) {
  using Kind = RoomMessage::Kind;
  if (bytes.empty()) return std::nullopt;
  RoomMessage message;
  message.kind = static_cast<Kind>(bytes[0]);
  if (message.kind == Kind::entry) {
    const std::size_t sealed = 1 + kNumberBytes + kIdBytes;
    if (bytes.size() <= sealed) return std::nullopt;
    message.entry = {number_in(bytes, 1, kNumberBytes), bytes.substr(1 + kNumberBytes, kIdBytes), bytes.substr(sealed)};
    return message;
  }
  const bool live = message.kind == Kind::live;
  if ((!live && message.kind != Kind::left) || bytes.size() < 1 + kIdBytes + (live ? 1 : 0)) return std::nullopt;
  message.session = bytes.substr(1, kIdBytes);
  if (live) message.sealed = bytes.substr(1 + kIdBytes);
  return message;
}

std::string live_bytes(const std::string& session, const std::string& sealed) {
  return static_cast<char>(RoomMessage::Kind::live) + session + sealed;
}

}  // namespace intercusp::secrets
