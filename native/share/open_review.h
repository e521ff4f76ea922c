#pragma once

#include <chrono>
#include <cstdint>
#include <deque>
#include <functional>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

#include "review/entry.h"
#include "review/sealing.h"
#include "share/folder_line.h"
#include "share/job_thread.h"
#include "share/room_line.h"

namespace intercusp::share {

/// The keys of the person at this program.
struct PersonKeys {
  std::string seed, author;  ///< bytes; public half in base64url
};

/// One shared case that is open: its log followed without a gap, its own entries sent in order, live messages,
/// reconnecting. All of it on the thread of the jobs.
class OpenReview {
 public:
  using Tells = std::function<void(nlohmann::json)>;

  OpenReview(JobThread& jobs, secrets::ReviewLink link, secrets::ReviewKeys keys,
             std::optional<secrets::ChangeKeys> change, PersonKeys person, bool keeps, Tells tells);

  FolderLine& folder() { return folder_; }
  const secrets::ReviewLink& link() const { return link_; }
  const secrets::ReviewKeys& keys() const { return keys_; }
  const std::string& author() const { return person_.author; }
  bool may_change() const { return change_.has_value() && !viewing_; }
  /// Whose signatures count: bytes of the public change key.
  std::string change_public;

  /// Entries that are new and signed as they say; why others are left out is told.
  std::vector<ReviewEntry> opened(const std::vector<secrets::LogFrame>& frames);
  /// Own entries that were not sent when the program ended; those that the log has are left out.
  std::vector<ReviewEntry> take_waiting();

  void connect();
  bool is_connected() const { return room_ != nullptr; }
  /// An own entry (its body): signed, sealed, kept until the server has it.
  Status append(const std::string& body);
  void live(const std::string& body, bool is_signed);
  /// Sends what waits, as long as the server takes it.
  void send();
  void only_viewing();

 private:
  /// An entry that is new here; nothing where it is known, or not signed as it says, which is told.
  std::optional<ReviewEntry> open_new(const secrets::LogFrame& frame);
  void greeted(const std::string& words);
  void hear(const std::string& bytes);
  void hear_entry(const secrets::LogFrame& frame);
  void hear_live(const secrets::RoomMessage& message);
  Status catch_up();
  void disconnected();
  void look_why();
  bool goes_on_after_refusal(const Error& error);
  void keep_queue();
  void say(const std::string& state);
  /// A job that does nothing when this case is left by then.
  void later(std::chrono::milliseconds pause, std::function<void()> job);

  JobThread& jobs_;
  const secrets::ReviewLink link_;
  const secrets::ReviewKeys keys_;
  const std::optional<secrets::ChangeKeys> change_;
  const PersonKeys person_;
  const Tells tells_;
  FolderLine folder_;
  std::shared_ptr<int> alive_ = std::make_shared<int>(0);  // outlives the room, whose thread adds jobs
  std::unique_ptr<RoomLine> room_;
  std::uint64_t connection_ = 0;
  std::uint64_t last_ = 0;               // number of the last entry of the log that is here without a gap
  std::set<std::string> known_;          // ids of entries that are here
  std::deque<secrets::LogFrame> queue_;  // own entries on their way; keep_queue after each change
  bool viewing_ = false;                 // the right to change was taken away
  bool send_due_ = false;
  std::chrono::milliseconds pause_;
  std::string session_, state_ = "connecting";
  secrets::LiveCounters counters_;
};

}  // namespace intercusp::share
