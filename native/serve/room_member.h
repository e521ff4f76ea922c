#pragma once

#include <memory>
#include <vector>

#include <boost/asio/steady_timer.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/http/message.hpp>
#include <boost/beast/http/string_body.hpp>
#include <boost/beast/websocket/stream.hpp>

#include "serve/rooms.h"
#include "serve/shared_parts.h"
#include "serve/wire/frames.h"
#include "serve/wire_stream.h"

namespace intercusp::serve {

using UpgradeRequest = boost::beast::http::request<boost::beast::http::string_body>;

/// One connection in a room: greets, is let in, then passes live frames on and gets those of the others. What waits for
/// a slow reader is bounded: of each session the newest live frame alone, of entries 4 MiB (after which it is sent out
/// and reads the log instead).
class RoomMember : public RoomGuest, public Client, public std::enable_shared_from_this<RoomMember> {
 public:
  /// `ticket` counts the connection for as long as this lives.
  RoomMember(WireStream stream, SharedParts& parts, const FolderName& folder, const AddressKey& address,
             Quota::Ticket ticket);

  void start(const UpgradeRequest& request);
  void finish() override;

  void take_live(const SessionId& from, const Frame& frame) override;
  void take_entry(std::uint64_t number, const Frame& frame) override;
  void take_left(const SessionId& who, const Frame& frame) override;
  void send_out(std::uint16_t code, const std::string& words) override;
  void look_at_clock(SteadyTime now) override;

 private:
  enum class State { greeting, checking, inside, closing };
  struct Waiting {
    Frame frame;
    std::uint64_t number = 0;  ///< of an entry; 0 for others
    bool is_text = false;
  };
  struct WaitingLive {
    SessionId session{};
    Frame frame;
  };

  void read();
  void on_read(boost::system::error_code failed);
  void on_greeting();
  void enter(bool may_change);
  void on_entered(const ReviewApi::Entrant& entrant);
  void on_live();
  void wait_turn(std::size_t frame_bytes);
  void queue(Waiting waiting);
  void write_next();
  void gone();

  boost::beast::websocket::stream<WireStream, false> socket_;
  SharedParts& parts_;
  FolderName folder_;
  AddressKey address_;
  Quota::Ticket ticket_;
  boost::beast::flat_buffer buffer_;
  Greeting greeting_;
  State state_ = State::greeting;
  bool joined_ = false;
  std::uint64_t greeted_with_ = 0;  ///< number of the last entry when it entered
  std::vector<Waiting> waiting_;
  std::vector<WaitingLive> waiting_lives_;
  std::size_t waiting_bytes_ = 0;
  Frame writing_;  ///< kept while it is written
  SteadyTime writing_since_, began_;
  double spent_ = 0;  ///< of the allowance of live frames
  SteadyTime spent_at_;
  std::unique_ptr<boost::asio::steady_timer>
      turn_;  ///< while a greeting is awaited; later when somebody sends too fast
};

}  // namespace intercusp::serve
