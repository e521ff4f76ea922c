#include "share/live_review.h"

#include <thread>

#include "base/base64.h"
#include "base/json_read.h"
#include "share/open_entry.h"
#include "share/open_review.h"
#include "share/outgoing.h"
#include "share/person_key.h"
#include "share/stored_thing.h"

namespace intercusp::share {

/// What one request of the program needs of the rest.
struct LiveReview::Doing {
  const nlohmann::json& request;
  const std::vector<std::uint8_t>& bytes;
  std::function<void(Event)> tell;
  std::function<bool()> goes_on;  ///< false: another case was begun, or this one left
  std::string server;
};

namespace {

using Doing = LiveReview::Doing;

using nlohmann::json;
using std::chrono::milliseconds;

constexpr int kTries = 4;
constexpr milliseconds kFirstWait(400);

Result<PersonKeys> person_here() {
  const auto seed = person_seed_of_this_window();
  if (!seed) return seed.error();
  const auto half = secrets::ed25519_public(seed.value());
  if (!half) return half.error();
  return PersonKeys{seed.value(), base64url(half.value())};
}

/// Tries again what failed for want of a connection or since the server was busy.
template <class Work>
auto stubbornly(const Doing& doing, const FolderLine& folder, Work work) -> decltype(work()) {
  for (int n = 1;; ++n) {
    auto done = work();
    const unsigned status = folder.status();
    const bool again = status == 0 || status == 429 || status >= 500;
    if (done || !again || n >= kTries || !doing.goes_on()) return done;
    std::this_thread::sleep_for((1 << n) * kFirstWait);
  }
}

json joined_event(OpenReview& open, const char* what, std::int64_t ends_ms, bool owner) {
  secrets::ReviewLink link = open.link();
  const bool changes = open.may_change();
  return {{"event", what},
          {"folder", link.folder},
          {"ends", ends_ms},
          {"author", open.author()},
          {"change", base64url(open.change_public)},
          {"may_change", changes},
          {"owner", owner},
          {"view_link", review_link_text(link, false)},
          {"change_link", changes ? review_link_text(link, true) : ""}};
}

OpenReview::Tells only_events(const Doing& doing) {
  return [tell = doing.tell](json event) { tell({std::move(event), {}}); };
}

/// Sends every body of the request; gives how the beginning names them.
Result<json> upload(const Doing& doing, FolderLine& folder, const Outgoing& out) {
  const auto number = [](const json& thing) { return static_cast<std::size_t>(number_at(thing, "size").value_or(0)); };
  const Asks asks = [&](const ServerRequest& request) {
    return stubbornly(doing, folder, [&] { return folder.must(request); });
  };
  json stored = json::array();
  std::size_t at = 0;
  for (const json& body : doing.request.at("bodies")) {
    const std::size_t size = std::min(number(body), doing.bytes.size() - at);
    const auto sent = [&](std::size_t bytes) {
      const double fraction = static_cast<double>(at + bytes) / static_cast<double>(doing.bytes.size());
      doing.tell({{{"event", "progress"}, {"words", "Sending the case, sealed"}, {"fraction", fraction}}, {}});
      return doing.goes_on();
    };
    const std::string file(reinterpret_cast<const char*>(doing.bytes.data()) + at, size);
    auto named = send_body(asks, out, text_at(body, "name").value_or("body"), file, sent);
    if (!named) return named.error();
    if (flag_at(body, "coarse").value_or(false)) named.value()["coarse"] = true;
    stored.push_back(std::move(named).value());
    at += size;
  }
  return stored;
}

Result<std::unique_ptr<OpenReview>> share(const Doing& doing, JobThread& jobs) {
  const bool keeps = flag_at(doing.request, "keep").value_or(false);
  const int days = static_cast<int>(number_at(doing.request, "days").value_or(30));
  const auto address = parse_server_address(doing.server);
  if (!address) return address.error();
  auto person = person_here();
  if (!person) return person.error();
  auto fresh = fresh_secrets();
  if (!fresh) return fresh.error();
  Outgoing& out = fresh.value();
  out.link.server = doing.server;
  FolderLine anywhere(address.value(), "", false);
  const auto ends = stubbornly(doing, anywhere, [&] {
    return make_folder([&](const ServerRequest& request) { return anywhere.must(request); }, out, days);
  });
  if (!ends) return ends.error();
  if (keeps) {
    const Status kept = keep_owner_secret(out.link.folder, out.own_secret);
    if (!kept) return kept.error();
  }
  auto open = std::make_unique<OpenReview>(jobs, out.link, out.keys, out.change, std::move(person).value(), keeps,
                                           only_events(doing));
  FolderLine& folder = open->folder();
  folder.own_token = out.own_token;
  auto stored = upload(doing, folder, out);
  if (!stored || !doing.goes_on()) {
    (void)folder.remove();  // half a case is of no use to anybody
    forget_owner_secret(out.link.folder);
    return stored ? Error{"it was stopped", "", {}} : stored.error();
  }
  if (keeps) folder.copy()->keep_ends(ends.value());
  json event = joined_event(*open, "stored", ends.value(), true);
  event["bodies"] = std::move(stored).value();
  doing.tell({std::move(event), {}});
  return open;
}

Result<std::unique_ptr<OpenReview>> join(const Doing& doing, JobThread& jobs) {
  std::string text = text_at(doing.request, "link").value_or("");
  if (text.rfind("review=", 0) == 0) text = doing.server + "#" + text;
  const auto link = secrets::parse_review_link(text);
  if (!link) return link.error();
  const auto address = parse_server_address(link.value().server);
  if (!address) return address.error();
  auto keys = secrets::review_keys(link.value().view_key);
  if (!keys) return keys.error();
  std::optional<secrets::ChangeKeys> change;
  if (link.value().change_seed) {
    auto derived = secrets::change_keys(*link.value().change_seed);
    if (!derived) return derived.error();
    change = std::move(derived).value();
  }
  auto person = person_here();
  if (!person) return person.error();
  const bool keeps = flag_at(doing.request, "keep").value_or(false);
  auto open = std::make_unique<OpenReview>(jobs, link.value(), std::move(keys).value(), std::move(change),
                                           std::move(person).value(), keeps, only_events(doing));
  FolderLine& folder = open->folder();
  if (const auto secret = owner_secret(link.value().folder)) {
    if (const auto token = secrets::own_token(secret.value())) folder.own_token = token.value();
  }
  const auto ends = stubbornly(doing, folder, [&] { return folder.about(); });
  if (!ends) return ends.error();
  const auto frames = stubbornly(doing, folder, [&] { return folder.log(0); });
  if (!frames) return frames.error();
  std::vector<ReviewEntry> entries = open->opened(frames.value());
  if (open->change_public.empty()) {
    open->change_public = from_base64url(change_key_of(link.value(), entries)).value_or("");
    if (open->change_public.empty())
      return Error{"the shared case has no beginning that this link speaks of", "", "ask for it to be shared again"};
  }
  json event = joined_event(*open, "joined", ends.value(), !folder.own_token.empty());
  event["bodies"] = json::array();
  for (const ReviewEntry& entry : entries) event["bodies"].push_back(entry.body);
  for (const ReviewEntry& entry : open->take_waiting()) event["bodies"].push_back(entry.body);
  doing.tell({std::move(event), {}});
  return open;
}

Status fetch(const Doing& doing, OpenReview& open) {
  FolderLine& folder = open.folder();
  const json& things = doing.request.at("things");
  double whole = 1, here = 0;
  for (const json& thing : things) whole += number_at(thing, "length").value_or(0);
  const auto piece = [&](const std::string& name) {
    return stubbornly(doing, folder, [&] { return folder.piece(name); });
  };
  const auto got = [&](std::size_t bytes) {
    here += static_cast<double>(bytes);
    doing.tell({{{"event", "progress"}, {"words", "Fetching the case"}, {"fraction", here / whole}}, {}});
    return doing.goes_on();
  };
  for (std::size_t i = 0; i < things.size(); ++i) {
    const auto bytes = stored_thing(open.keys(), open.link().folder, things[i], piece, got);
    if (!doing.goes_on()) return Done{};
    if (!bytes) return bytes.error();
    doing.tell({{{"event", "body"}, {"index", i}}, {bytes.value().begin(), bytes.value().end()}});
  }
  return Done{};
}

Status remove(const Doing& doing, OpenReview& open) {
  const Status gone = open.folder().remove();
  if (!gone) return gone;
  forget_owner_secret(open.link().folder);
  doing.tell({{{"event", "trouble"},
               {"ends", true},
               {"what", "The shared case is deleted from the server"},
               {"meaning", "nobody can open it any more; it stays open here"},
               {"remedy", ""}},
              {}});
  return Done{};
}

Status revoke(OpenReview& open) {
  const Status ended = open.folder().end_changing();
  if (ended) open.only_viewing();
  return ended;
}

Status prolong(const Doing& doing, OpenReview& open) {
  const auto ends = open.folder().set_days(static_cast<int>(number_at(doing.request, "days").value_or(30)));
  if (!ends) return ends.error();
  doing.tell({{{"event", "ends"}, {"ends", ends.value()}}, {}});
  return Done{};
}

Status with_open(const std::string& what, const Doing& doing, OpenReview& open) {
  if (what == "fetch") return fetch(doing, open);
  if (what == "append") {
    const Status kept = open.append(text_at(doing.request, "body").value_or(""));
    if (!open.is_connected()) open.connect();  // the case was shared from here, and its beginning is there
    return kept;
  }
  if (what == "revoke") return revoke(open);
  if (what == "delete") return remove(doing, open);
  if (what == "prolong") return prolong(doing, open);
  if (what == "opened" && !open.is_connected()) open.connect();
  if (what == "live")
    open.live(text_at(doing.request, "body").value_or(""), flag_at(doing.request, "signed").value_or(false));
  return Done{};
}

bool begins(const std::string& what) {
  return what == "share" || what == "join" || what == "fetch";
}

json failed_event(const std::string& what, const Error& error) {
  return {{"event", "trouble"},
          {"what", error.what},
          {"meaning", begins(what) ? "the case was not shared or opened" : "the shared case is as it was"},
          {"remedy", error.remedy},
          {"ends", begins(what)}};
}

}  // namespace

LiveReview::LiveReview(std::function<void()> wake, std::function<std::string()> server)
    : wake_(std::move(wake)), server_(std::move(server)), jobs_(std::make_unique<JobThread>()) {}

LiveReview::~LiveReview() {
  jobs_.reset();
}

void LiveReview::ask(const json& request, const std::vector<std::uint8_t>& bytes) {
  const std::string what = text_at(request, "ask").value_or("");
  if (what == "share" || what == "join" || what == "leave") ++turn_;
  // The server's address is asked here: settings belong to the screen's thread.
  const std::string server = what == "share" || what == "join" ? server_() : "";
  jobs_->add([this, what, request, bytes, server, turn = turn_.load()] {
    const auto goes_on = [this, turn] { return turn == turn_; };
    const auto tell_on = [this, goes_on](Event event) {
      if (goes_on()) tell(std::move(event));
    };
    const Status done = go(what, {request, bytes, tell_on, goes_on, server});
    if (!done) tell_on({failed_event(what, done.error()), {}});
  });
}

Status LiveReview::go(const std::string& what, const Doing& doing) {
  if (what == "leave") {
    if (open_) open_->send();  // what is still on its way goes first
    open_.reset();
    return Done{};
  }
  if (what == "share" || what == "join") {
    open_.reset();
    auto begun = what == "share" ? share(doing, *jobs_) : join(doing, *jobs_);
    if (!begun) return begun.error();
    open_ = std::move(begun).value();
    return Done{};
  }
  return open_ ? with_open(what, doing, *open_) : Status(Done{});
}

std::vector<LiveReview::Event> LiveReview::take() {
  const std::lock_guard hold(lock_);
  return std::exchange(events_, {});
}

void LiveReview::tell(Event event) {
  {
    const std::lock_guard hold(lock_);
    events_.push_back(std::move(event));
  }
  wake_();
}

}  // namespace intercusp::share
