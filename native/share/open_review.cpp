#include "share/open_review.h"

#include <algorithm>
#include <cstdlib>

#include "base/base64.h"
#include "base/json_read.h"
#include "review/crypto.h"
#include "share/open_entry.h"

namespace intercusp::share {
namespace {

using nlohmann::json;
using secrets::SealedAs;
using std::chrono::milliseconds;

constexpr milliseconds kFirstPause(300), kLongestPause(15000), kRetry(2000);

json trouble(const Error& error, const char* meaning) {
  return {{"event", "trouble"}, {"what", error.sentence()}, {"meaning", meaning}, {"remedy", ""}};
}

milliseconds about(milliseconds pause) {
  return milliseconds(static_cast<long>(static_cast<double>(pause.count()) * (0.75 + 0.5 * std::rand() / RAND_MAX)));
}

constexpr const char* kRestAsItWas = "the rest of the case is as it was";

}  // namespace

OpenReview::OpenReview(JobThread& jobs, secrets::ReviewLink link, secrets::ReviewKeys keys,
                       std::optional<secrets::ChangeKeys> change, PersonKeys person, bool keeps, Tells tells)
    : jobs_(jobs),
      link_(std::move(link)),
      keys_(std::move(keys)),
      change_(std::move(change)),
      person_(std::move(person)),
      tells_(std::move(tells)),
      folder_(parse_server_address(link_.server).value(), link_.folder, keeps),
      pause_(kFirstPause) {
  folder_.read_token = keys_.read_token;
  if (change_) folder_.write_token = change_->write_token;
  if (change_) change_public = change_->public_key;
}

void OpenReview::later(milliseconds pause, std::function<void()> job) {
  jobs_.add_after(pause, [still = std::weak_ptr<int>(alive_), job = std::move(job)] {
    if (!still.expired()) job();
  });
}

std::optional<ReviewEntry> OpenReview::open_new(const secrets::LogFrame& frame) {
  if (known_.count(frame.id)) return std::nullopt;
  Result<ReviewEntry> entry = open_entry(keys_, link_.folder, frame);
  if (!entry) {
    tells_(trouble(entry.error(), kRestAsItWas));
    return std::nullopt;
  }
  known_.insert(frame.id);
  return std::move(entry).value();
}

std::vector<ReviewEntry> OpenReview::opened(const std::vector<secrets::LogFrame>& frames) {
  std::vector<ReviewEntry> entries;
  for (const secrets::LogFrame& frame : frames) {
    last_ = std::max(last_, frame.number);
    if (auto entry = open_new(frame)) entries.push_back(std::move(*entry));
  }
  return entries;
}

std::vector<ReviewEntry> OpenReview::take_waiting() {
  std::vector<ReviewEntry> entries;
  if (!change_ || !folder_.copy()) return entries;
  for (secrets::LogFrame& frame : folder_.copy()->waiting()) {
    auto entry = open_new(frame);
    if (!entry) continue;
    entries.push_back(std::move(*entry));
    queue_.push_back(std::move(frame));
  }
  keep_queue();
  return entries;
}

void OpenReview::connect() {
  const auto session = secrets::random_bytes(16);
  if (!session) return;
  session_ = session.value();
  counters_ = {};
  const std::uint64_t connection = ++connection_;
  const auto heard = [this, connection](auto job) {
    later({}, [this, connection, job = std::move(job)] {
      if (connection == connection_) job();
    });
  };
  RoomLine::Hears hears;
  hears.words = [this, heard](std::string words) { heard([this, words] { greeted(words); }); };
  hears.bytes = [this, heard](std::string bytes) { heard([this, bytes] { hear(bytes); }); };
  hears.ended = [this, heard] { heard([this] { disconnected(); }); };
  const std::string greeting = keys_.read_token + session_ + (change_ ? change_->write_token : "");
  room_ = std::make_unique<RoomLine>(folder_.server(), folder_.path(), greeting, std::move(hears));
}

void OpenReview::disconnected() {
  say("offline");
  later(about(pause_), [this] { connect(); });
  pause_ = std::min(kLongestPause, 2 * pause_);
  if (pause_ > 4 * kFirstPause) look_why();
}

/// After some tries: whether the case is still there at all.
void OpenReview::look_why() {
  const auto about_it = folder_.must({"GET", folder_.path(), keys_.read_token, {}, {}, true});
  if (about_it || folder_.status() != 404) return;
  if (folder_.copy()) folder_.copy()->forget();
  ++connection_;
  room_.reset();
  tells_({{"event", "trouble"},
          {"ends", true},
          {"what", "The shared case is no longer on the server"},
          {"meaning", "it ended, or was deleted or revoked; the case stays open here as it is"},
          {"remedy", "ask whoever shared it"}});
}

/// What this link may do, as the room greets: the right to change may have been taken away.
void OpenReview::greeted(const std::string& words) {
  const auto said = parse_json(words.data(), words.size());
  const bool changes = said && flag_at(said.value(), "change").value_or(false);
  if (change_ && !changes && !viewing_) only_viewing();
  if (!catch_up()) return disconnected();
  pause_ = kFirstPause;
  say("live");
  send();
}

void OpenReview::only_viewing() {
  viewing_ = true;
  queue_.clear();
  keep_queue();
  tells_({{"event", "viewing"}});
}

Status OpenReview::catch_up() {
  const auto frames = folder_.log(last_);
  if (!frames) return frames.error();
  json bodies = json::array();
  for (const ReviewEntry& entry : opened(frames.value())) bodies.push_back(entry.body);
  if (!bodies.empty()) tells_({{"event", "entries"}, {"bodies", bodies}});
  return Done{};
}

void OpenReview::hear(const std::string& bytes) {
  const auto message = secrets::read_room_message(bytes);
  if (!message) return;
  switch (message->kind) {
    case secrets::RoomMessage::Kind::left:
      return tells_({{"event", "left"}, {"session", base64url(message->session)}});
    case secrets::RoomMessage::Kind::entry:
      return hear_entry(message->entry);
    case secrets::RoomMessage::Kind::live:
      return hear_live(*message);
  }
}

void OpenReview::hear_entry(const secrets::LogFrame& frame) {
  if (frame.number > last_ + 1) {
    (void)catch_up();  // where that fails the next entry or connection asks again
    return;
  }
  if (folder_.copy()) folder_.copy()->keep_entries({frame});
  for (const ReviewEntry& entry : opened({frame})) {
    tells_({{"event", "entries"}, {"bodies", json::array({entry.body})}});
  }
}

/// What does not open, is not signed as it says or comes twice moves nothing.
void OpenReview::hear_live(const secrets::RoomMessage& message) {
  const auto plain = secrets::open(keys_.seal_key, {SealedAs::live, link_.folder, message.session}, message.sealed);
  if (!plain) return;
  const auto read = secrets::read_live(link_.folder, plain.value(), change_public);
  if (!read) return;
  auto body = parse_json(read.value().body.data(), read.value().body.size());
  if (!body) return;
  const double count = number_at(body.value(), "count").value_or(0);
  if (!(count >= 1 && count < 9e15)) return;
  if (!counters_.take(message.session, static_cast<std::uint64_t>(count))) return;
  tells_({{"event", "live"},
          {"session", base64url(message.session)},
          {"body", std::move(body).value()},
          {"counts", read.value().is_signed}});
}

void OpenReview::live(const std::string& body, bool is_signed) {
  if (state_ != "live" || !room_) return;
  const auto plain = secrets::sign_live(link_.folder, body, is_signed && change_ ? change_->sign_seed : "");
  if (!plain) return;
  const auto sealed = secrets::seal(keys_.seal_key, {SealedAs::live, link_.folder, session_}, plain.value());
  if (sealed) room_->send(secrets::live_bytes(session_, sealed.value()));
}

Status OpenReview::append(const std::string& body) {
  const auto read = parse_entry(body);
  if (!read) return read.error();
  const auto id = from_base64url(read.value().id);
  if (!change_ || !id) return Error{"this link is for viewing only", "", "ask for the link for changing"};
  const auto entry = secrets::sign_entry(link_.folder, body, change_->sign_seed, person_.seed);
  if (!entry) return entry.error();
  const auto sealed = secrets::seal(keys_.seal_key, {SealedAs::entry, link_.folder, *id}, entry.value());
  if (!sealed) return sealed.error();
  known_.insert(*id);
  queue_.push_back({0, *id, sealed.value()});
  keep_queue();
  send();
  return Done{};
}

/// They are kept beyond the program's end, unless on a shared computer.
void OpenReview::keep_queue() {
  if (!folder_.copy()) return;
  const Status kept = folder_.copy()->keep_waiting({queue_.begin(), queue_.end()});
  if (!kept) tells_(trouble(kept.error(), "changes that the server has not got are lost if the program ends"));
}

void OpenReview::send() {
  while (!queue_.empty()) {
    const auto number = folder_.append(queue_.front());
    if (!number) {
      if (!goes_on_after_refusal(number.error())) return;
      continue;
    }
    if (number.value() == last_ + 1) last_ = number.value();
    queue_.pop_front();
    keep_queue();
    say(state_);
  }
}

/// Whether the next entry is tried at once; what is to be tried again by itself is so later, and without a connection
/// when that is back.
bool OpenReview::goes_on_after_refusal(const Error& error) {
  const unsigned status = folder_.status();
  if (status == 413) {
    queue_.pop_front();
    keep_queue();
    tells_(trouble(error, "this change is with nobody else"));
    return true;
  }
  if (status == 401 || status == 403 || status == 404) {
    queue_.clear();
    keep_queue();
    tells_({{"event", "trouble"},
            {"what", "The server does not take changes with this link any more"},
            {"meaning", "what was done last is here and with nobody else"},
            {"remedy", "save the case as a file, or ask whoever shared it"}});
    look_why();
    if (room_) connect();  // and the room says what is left to do
  }
  say(status == 0 ? "offline" : state_);
  const bool again = status == 429 || status >= 500;
  if (!again || send_due_) return false;
  send_due_ = true;
  later(kRetry, [this] {
    send_due_ = false;
    send();
  });
  return false;
}

void OpenReview::say(const std::string& state) {
  state_ = state;
  tells_({{"event", "connection"}, {"state", state}, {"waiting", queue_.size()}});
}

}  // namespace intercusp::share
