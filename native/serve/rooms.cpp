#include "serve/rooms.h"

#include <algorithm>
#include <limits>

#include "serve/wire/frames.h"
#include "serve/words.h"

namespace intercusp::serve {
namespace {

struct Place {
  std::shared_ptr<RoomGuest> guest;
  SessionId session{};
  bool may_write = false;
};

struct Room {
  std::vector<Place> places;
  std::int64_t ends_ms = std::numeric_limits<std::int64_t>::max();
};

class LocalFanout : public Fanout {
 public:
  bool join(const FolderName& folder, const std::shared_ptr<RoomGuest>& guest, const SessionId& session,
            bool may_write) override {
    Room& room = rooms_[folder];
    if (room.places.size() >= kMostInRoom) return false;
    room.places.push_back({guest, session, may_write});
    return true;
  }

  void leave(const FolderName& folder, const RoomGuest* guest) override;
  std::size_t here(const FolderName& folder) const override {
    const auto found = rooms_.find(folder);
    return found == rooms_.end() ? 0 : found->second.places.size();
  }
  void set_end(const FolderName& folder, std::int64_t ends_ms) override {
    const auto found = rooms_.find(folder);
    if (found != rooms_.end()) found->second.ends_ms = ends_ms;
  }

  void live(const FolderName& folder, const RoomGuest* from, const SessionId& session, const Frame& frame) override;
  void entry(const FolderName& folder, const EntryId& id, std::uint64_t number, std::string_view sealed) override;
  void end(const FolderName& folder, Who who) override;
  void look_at_clock(SteadyTime now, std::int64_t now_ms) override;

 private:
  std::unordered_map<FolderName, Room, FolderHash> rooms_;
};

void LocalFanout::leave(const FolderName& folder, const RoomGuest* guest) {
  const auto found = rooms_.find(folder);
  if (found == rooms_.end()) return;
  std::vector<Place>& places = found->second.places;
  const auto place = std::find_if(places.begin(), places.end(), [&](const Place& p) { return p.guest.get() == guest; });
  if (place == places.end()) return;
  const Place gone = std::move(*place);
  places.erase(place);
  if (places.empty()) {
    rooms_.erase(found);
    return;
  }
  // A session that came back on another connection has not left.
  const auto same = [&](const Place& p) { return p.session == gone.session; };
  if (std::any_of(places.begin(), places.end(), same)) return;
  const Frame frame = std::make_shared<const std::string>(left_frame(gone.session));
  for (const Place& other : places) other.guest->take_left(gone.session, frame);
}

void LocalFanout::live(const FolderName& folder, const RoomGuest* from, const SessionId& session, const Frame& frame) {
  const auto found = rooms_.find(folder);
  if (found == rooms_.end()) return;
  for (const Place& place : found->second.places) {
    if (place.guest.get() != from) place.guest->take_live(session, frame);
  }
}

void LocalFanout::entry(const FolderName& folder, const EntryId& id, std::uint64_t number, std::string_view sealed) {
  const auto found = rooms_.find(folder);
  if (found == rooms_.end()) return;
  const Frame frame = std::make_shared<const std::string>(entry_frame(number, id, sealed));
  for (const Place& place : found->second.places) place.guest->take_entry(number, frame);
}

/// Whoever is sent out leaves by itself when its connection has ended: the places stay as they are here.
void LocalFanout::end(const FolderName& folder, Who who) {
  const auto found = rooms_.find(folder);
  if (found == rooms_.end()) return;
  for (const Place& place : found->second.places) {
    if (who == Who::everybody || place.may_write) place.guest->send_out(kClosedUnknown, kUnknownWords);
  }
}

void LocalFanout::look_at_clock(SteadyTime now, std::int64_t now_ms) {
  for (const auto& [folder, room] : rooms_) {
    if (room.ends_ms <= now_ms) end(folder, Who::everybody);
    for (const Place& place : room.places) place.guest->look_at_clock(now);
  }
}

}  // namespace

std::unique_ptr<Fanout> make_local_fanout() {
  return std::make_unique<LocalFanout>();
}

}  // namespace intercusp::serve
