#pragma once

#include <functional>
#include <memory>
#include <string>

#include "share/server_line.h"

namespace intercusp::share {

/// The room of a shared case: a WebSocket to its server, on a thread of its own.
class RoomLine {
 public:
  struct Hears {
    std::function<void(std::string)> words, bytes;  ///< a message of the server; on the line's thread
    std::function<void()> ended;                    ///< once: it was not reached, or is gone
  };

  /// Connects and says the `greeting` (bytes) first; comes back at once.
  RoomLine(const ServerAddress& server, const std::string& path, std::string greeting, Hears hears);
  /// Says goodbye to nobody: what is not sent by now is dropped.
  ~RoomLine();
  RoomLine(const RoomLine&) = delete;
  RoomLine& operator=(const RoomLine&) = delete;

  /// Left out rather than queued behind much that waits.
  void send(std::string bytes);

 private:
  class Wire;
  std::unique_ptr<Wire> wire_;
};

}  // namespace intercusp::share
