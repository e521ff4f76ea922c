// Who is in which room, and what reaches them. Behind an interface, so that several servers can share their rooms.
#pragma once

#include <memory>
#include <string>
#include <unordered_map>
#include <vector>

#include "serve/limits.h"
#include "serve/wire/ids.h"

namespace intercusp::serve {

using Frame = std::shared_ptr<const std::string>;  ///< one copy however many get it

constexpr std::size_t kMostInRoom = 32;

// Why somebody is sent out of a room (WebSocket close codes for private use, RFC 6455 7.4.2).
constexpr std::uint16_t kClosedUnknown = 4404, kClosedTooSlow = 4408, kClosedTooMany = 4429;

/// Somebody in a room. All calls come from the network's thread.
class RoomGuest {
 public:
  virtual ~RoomGuest() = default;
  virtual void take_live(const SessionId& from, const Frame& frame) = 0;
  virtual void take_entry(std::uint64_t number, const Frame& frame) = 0;
  virtual void take_left(const SessionId& who, const Frame& frame) = 0;
  virtual void send_out(std::uint16_t code, const std::string& words) = 0;
  /// Called every few seconds.
  virtual void look_at_clock(SteadyTime now) = 0;
};

class Fanout {
 public:
  virtual ~Fanout() = default;
  /// False when the room is full.
  virtual bool join(const FolderName& folder, const std::shared_ptr<RoomGuest>& guest, const SessionId& session,
                    bool may_write) = 0;
  virtual void leave(const FolderName& folder, const RoomGuest* guest) = 0;
  virtual std::size_t here(const FolderName& folder) const = 0;
  /// When the folder ends: its room then ends too.
  virtual void set_end(const FolderName& folder, std::int64_t ends_ms) = 0;

  virtual void live(const FolderName& folder, const RoomGuest* from, const SessionId& session, const Frame& frame) = 0;
  virtual void entry(const FolderName& folder, const EntryId& id, std::uint64_t number, std::string_view sealed) = 0;
  enum class Who { everybody, writers };
  virtual void end(const FolderName& folder, Who who) = 0;

  virtual void look_at_clock(SteadyTime now, std::int64_t now_ms) = 0;
};

/// Rooms of this one process.
std::unique_ptr<Fanout> make_local_fanout();

}  // namespace intercusp::serve
