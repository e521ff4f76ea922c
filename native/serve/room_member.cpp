#include "serve/room_member.h"

#include <algorithm>

#include <nlohmann/json.hpp>

#include "serve/words.h"

namespace intercusp::serve {
namespace {

namespace beast = boost::beast;
namespace websocket = beast::websocket;

constexpr std::size_t kMostQueuedBytes = 4u << 20;
constexpr std::size_t kMostQueuedFrames = 2000;
constexpr double kLivePerSecond = 120, kMostLiveAtOnce = 240;
constexpr double kBytesLikeOneMore = 16384;  // a large frame counts for several
constexpr std::size_t kKeptFrameBuffer = 4096;

websocket::close_reason reason(std::uint16_t code, const std::string& words) {
  return websocket::close_reason(static_cast<websocket::close_code>(code), words);
}

}  // namespace

RoomMember::RoomMember(WireStream stream, SharedParts& parts, const FolderName& folder, const AddressKey& address,
                       Quota::Ticket ticket)
    : socket_(std::move(stream)),
      parts_(parts),
      folder_(folder),
      address_(address),
      ticket_(std::move(ticket)),
      buffer_(kMostLiveBytes + 1024),
      began_(std::chrono::steady_clock::now()) {}

void RoomMember::start(const UpgradeRequest& request) {
  socket_.next_layer().tcp().expires_never();  // the WebSocket keeps time itself
  socket_.set_option(websocket::stream_base::timeout{parts_.patience.greeting(), parts_.patience.room(), true});
  socket_.set_option(websocket::stream_base::decorator(
      [](websocket::response_type& response) { response.set(beast::http::field::cache_control, "no-store"); }));
  socket_.read_message_max(kMostLiveBytes);
  socket_.auto_fragment(false);  // a frame goes from where it lies, without being copied in parts
  socket_.async_accept(request, [self = shared_from_this()](beast::error_code failed) {
    if (failed) return self->gone();
    if (self->parts_.stopping) self->finish();
    self->read();
  });
  turn_ = std::make_unique<boost::asio::steady_timer>(socket_.get_executor(), parts_.patience.greeting());
  turn_->async_wait([self = shared_from_this()](beast::error_code cancelled) {
    if (!cancelled) self->send_out(kClosedTooSlow, "The first message did not come in time.");
  });
}

void RoomMember::finish() {
  send_out(static_cast<std::uint16_t>(websocket::close_code::going_away), "The server stops.");
}

void RoomMember::read() {
  socket_.async_read(buffer_,
                     [self = shared_from_this()](beast::error_code failed, std::size_t) { self->on_read(failed); });
}

void RoomMember::on_read(beast::error_code failed) {
  if (failed) return gone();
  if (state_ == State::closing) {
    buffer_.consume(buffer_.size());
    return read();
  }
  if (!socket_.got_binary()) {
    send_out(static_cast<std::uint16_t>(websocket::close_code::unknown_data), "Frames in a room are binary.");
    return read();
  }
  if (state_ == State::greeting) return on_greeting();
  on_live();
}

/// Nothing of the room reaches somebody whose tokens have not been looked at. Nobody is read from meanwhile.
void RoomMember::on_greeting() {
  const auto data = buffer_.data();
  const auto greeting = read_greeting({static_cast<const char*>(data.data()), data.size()});
  buffer_.consume(buffer_.size());
  buffer_.shrink_to_fit();
  if (!greeting || !parts_.pace.has(address_, Pace::miss, std::chrono::steady_clock::now())) {
    send_out(greeting ? kClosedTooMany : static_cast<std::uint16_t>(websocket::close_code::policy_error),
             greeting ? kTooManyWords : "The first message in a room shows a token and a session.");
    return read();
  }
  greeting_ = *greeting;
  turn_.reset();
  state_ = State::checking;
  const auto checked = [self = shared_from_this()](const ReviewApi::Entrant& entrant) {
    const Refusal refusal = entrant.refusal;
    if (refusal == Refusal::none && self->state_ == State::checking) return self->enter(entrant.may_change);
    if (refusal == Refusal::unknown) {
      self->parts_.pace.take(self->address_, Pace::miss, std::chrono::steady_clock::now());
    }
    self->send_out(refusal == Refusal::unknown ? kClosedUnknown : 1011,
                   refusal == Refusal::unknown ? kUnknownWords : kBusyWords);
    self->read();
  };
  if (parts_.review->look(folder_, greeting_.read, greeting_.write, checked)) return;
  send_out(static_cast<std::uint16_t>(websocket::close_code::try_again_later), kBusyWords);
  read();
}

/// First into the room, then the number of the last entry: an entry added in between waits here instead of being
/// missed.
void RoomMember::enter(bool may_change) {
  Fanout& fanout = parts_.review->fanout();
  if (!fanout.join(folder_, shared_from_this(), greeting_.session, may_change)) {
    send_out(kClosedTooMany, "This room is full.");
    return read();
  }
  joined_ = true;
  const auto looked = [self = shared_from_this(), may_change](const ReviewApi::Entrant& entrant) {
    const bool same = entrant.refusal == Refusal::none && entrant.may_change == may_change;
    if (same && self->state_ == State::checking) {
      self->on_entered(entrant);
    } else {
      self->send_out(kClosedUnknown, kUnknownWords);
    }
    self->read();
  };
  if (parts_.review->look(folder_, greeting_.read, greeting_.write, looked)) return;
  send_out(static_cast<std::uint16_t>(websocket::close_code::try_again_later), kBusyWords);
  read();
}

void RoomMember::on_entered(const ReviewApi::Entrant& entrant) {
  Fanout& fanout = parts_.review->fanout();
  const FolderLook& look = entrant.look;
  fanout.set_end(folder_, look.ends_ms);
  state_ = State::inside;
  greeted_with_ = look.last;
  const nlohmann::json json{{"last", look.last}, {"here", fanout.here(folder_)}, {"change", entrant.may_change}};
  std::vector<Waiting> held = std::move(waiting_);
  waiting_.clear();
  waiting_bytes_ = 0;
  queue({std::make_shared<const std::string>(json.dump()), 0, true});
  for (Waiting& waiting : held) {
    if (waiting.number == 0 || waiting.number > look.last) queue(std::move(waiting));
  }
}

void RoomMember::on_live() {
  const auto data = buffer_.data();
  const std::string_view bytes(static_cast<const char*>(data.data()), data.size());
  const std::optional<SessionId> session = session_of_live(bytes);
  if (!session || *session != greeting_.session) {
    buffer_.consume(buffer_.size());
    send_out(static_cast<std::uint16_t>(websocket::close_code::policy_error),
             "This is no sealed live frame of the session that entered.");
    return read();
  }
  parts_.review->fanout().live(folder_, this, *session, std::make_shared<const std::string>(bytes));
  const std::size_t size = bytes.size();
  buffer_.consume(buffer_.size());
  if (buffer_.capacity() > kKeptFrameBuffer) buffer_.shrink_to_fit();
  wait_turn(size);
}

/// Who sends too fast is read from later: the frames wait on their own side, and none is lost.
void RoomMember::wait_turn(std::size_t frame_bytes) {
  const SteadyTime now = std::chrono::steady_clock::now();
  const double seconds = std::chrono::duration<double>(now - spent_at_).count();
  spent_ = std::max(0.0, spent_ - seconds * kLivePerSecond) + 1 + static_cast<double>(frame_bytes) / kBytesLikeOneMore;
  spent_at_ = now;
  if (spent_ <= kMostLiveAtOnce) return read();
  if (!turn_) turn_ = std::make_unique<boost::asio::steady_timer>(socket_.get_executor());
  const double wait_seconds = (spent_ - kMostLiveAtOnce) / kLivePerSecond;
  turn_->expires_after(std::chrono::milliseconds(static_cast<int>(wait_seconds * 1000) + 1));
  turn_->async_wait([self = shared_from_this()](beast::error_code) { self->read(); });
}

void RoomMember::take_live(const SessionId& from, const Frame& frame) {
  if (state_ != State::inside) return;
  const auto same = [&](const WaitingLive& live) { return live.session == from; };
  const auto waiting = std::find_if(waiting_lives_.begin(), waiting_lives_.end(), same);
  if (waiting != waiting_lives_.end()) {
    waiting->frame = frame;
    return;
  }
  waiting_lives_.push_back({from, frame});
  write_next();
}

void RoomMember::take_entry(std::uint64_t number, const Frame& frame) {
  // What was added while this member entered may be told after the look that counted it already.
  if (number > greeted_with_) queue({frame, number, false});
}

void RoomMember::take_left(const SessionId& who, const Frame& frame) {
  const auto same = [&](const WaitingLive& live) { return live.session == who; };
  waiting_lives_.erase(std::remove_if(waiting_lives_.begin(), waiting_lives_.end(), same), waiting_lives_.end());
  if (state_ == State::inside) queue({frame, 0, false});
}

void RoomMember::queue(Waiting waiting) {
  if (state_ != State::inside && state_ != State::checking) return;
  waiting_bytes_ += waiting.frame->size();
  waiting_.push_back(std::move(waiting));
  if (waiting_bytes_ > kMostQueuedBytes || waiting_.size() > kMostQueuedFrames) {
    return send_out(kClosedTooSlow, "This connection is too slow for what happens here. Read the log and come again.");
  }
  write_next();
}

void RoomMember::write_next() {
  if (writing_ || state_ != State::inside) return;
  if (!waiting_.empty()) {
    writing_ = std::move(waiting_.front().frame);
    socket_.text(waiting_.front().is_text);
    waiting_.erase(waiting_.begin());
    waiting_bytes_ -= writing_->size();
  } else if (!waiting_lives_.empty()) {
    writing_ = std::move(waiting_lives_.front().frame);
    socket_.text(false);
    waiting_lives_.erase(waiting_lives_.begin());
  } else {
    return;
  }
  writing_since_ = std::chrono::steady_clock::now();
  socket_.async_write(boost::asio::buffer(*writing_),
                      [self = shared_from_this()](beast::error_code failed, std::size_t) {
                        self->writing_.reset();
                        if (!failed) self->write_next();
                      });
}

void RoomMember::send_out(std::uint16_t code, const std::string& words) {
  if (state_ == State::closing) return;
  state_ = State::closing;
  waiting_.clear();
  waiting_lives_.clear();
  began_ = std::chrono::steady_clock::now();
  if (!socket_.is_open()) {
    socket_.next_layer().tcp().close();
    return;
  }
  socket_.async_close(reason(code, words), [self = shared_from_this()](beast::error_code) {});
}

void RoomMember::look_at_clock(SteadyTime now) {
  const bool stalled = writing_ && now - writing_since_ > parts_.patience.quiet;
  const bool lingers = state_ == State::closing && now - began_ > parts_.patience.quiet;
  if (stalled || lingers) socket_.next_layer().tcp().close();
}

void RoomMember::gone() {
  state_ = State::closing;
  turn_.reset();
  if (!joined_) return;
  joined_ = false;
  parts_.review->fanout().leave(folder_, this);
}

}  // namespace intercusp::serve
