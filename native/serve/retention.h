#pragma once

#include <chrono>
#include <map>

#include <boost/asio/steady_timer.hpp>

#include "serve/limits.h"
#include "serve/rooms.h"
#include "serve/store/store_desk.h"

namespace intercusp::serve {

/// Erases shared cases that have ended. An ended case opens for nobody from that moment on; its bytes are erased once
/// this server has run for `grace` with it ended, so that a clock that is wrong for a while erases nothing.
class Retention {
 public:
  Retention(boost::asio::io_context& context, StoreDesk& desk, Fanout& fanout, std::chrono::seconds grace);
  void start() { sweep(); }
  void stop() { timer_.cancel(); }

 private:
  void sweep();
  void on_ended(const std::vector<FolderName>& ended);
  void close(const FolderName& folder);
  void erase_closed();
  void again();

  StoreDesk& desk_;
  Fanout& fanout_;
  std::chrono::seconds grace_;
  std::map<FolderName, SteadyTime> seen_ended_;
  boost::asio::steady_timer timer_;
  bool erased_ = false;  ///< something went since the last scrub
};

}  // namespace intercusp::serve
