// What the host tells of the server and the others.
#include <algorithm>
#include <map>

#include "app/work/command_table.h"
#include "app/work/review_parts.h"
#include "base/json_read.h"
#include "casebook/case_json.h"
#include "review/first_picture.h"

namespace intercusp {

namespace {

std::string text_of(const Json& event, const char* key) {
  return text_at(event, key).value_or("");
}

std::vector<std::string> texts_at(const Json& event, const char* key) {
  std::vector<std::string> out;
  const Json* list = member(event, key);
  if (!list || !list->is_array()) return out;
  for (const Json& one : *list)
    if (one.is_string()) out.push_back(one.get<std::string>());
  return out;
}

void read_links(ReviewState& r, const Json& event) {
  r.author = text_of(event, "author");
  r.change = text_of(event, "change");
  r.view_link = text_of(event, "view_link");
  r.change_link = text_of(event, "change_link");
  r.ends_ms = static_cast<std::int64_t>(number_at(event, "ends").value_or(0));
  r.may_change = flag_at(event, "may_change").value_or(false);
  r.owner = flag_at(event, "owner").value_or(false);
}

/// The bodies are with the server: the history begins.
void take_stored(Workspace& w, const Json& event) {
  ReviewState& r = *w.review;
  read_links(r, event);
  r.sharing = Sharing(r.change);
  r.sharing.set_bodies(w.now().bodies);
  r.phase = ReviewState::Phase::open;
  const Json* bodies = member(event, "bodies");
  const Status begun = write_entry(w, {{"do", "begin"},
                                       {"change", r.change},
                                       {"case", case_to_json(w.now())},
                                       {"bodies", bodies ? with_coarse_forms(*bodies) : Json::array()}});
  if (!begun) {
    w.say_error(begun.error(), "the case is not shared");
    w.host.review({{"ask", "delete"}}, {});  // what was sent of it
    return leave_review(w);
  }
  r.watched = w.document.revision();
  w.popover = Popover::share;
  w.say({Message::Kind::note, "The case is shared", "who has a link sees it until it ends", "", 0});
}

void take_joined(Workspace& w, const Json& event) {
  ReviewState& r = *w.review;
  read_links(r, event);
  r.sharing = Sharing(r.change);
  take_entries(w, texts_at(event, "bodies"));
  const Status opened = open_shared(w);
  if (opened) return;
  w.say_error(opened.error(), "the shared case was not opened");
  leave_review(w);
}

void take_trouble(Workspace& w, const Json& event) {
  const Error error{text_of(event, "what"), "", text_of(event, "remedy")};
  w.say_error(error, text_of(event, "meaning"));
  if (!flag_at(event, "ends").value_or(false)) return;
  const bool asked = w.review->phase == ReviewState::Phase::asked || w.review->phase == ReviewState::Phase::opening;
  if (asked || w.review->phase == ReviewState::Phase::uploading) w.popover = Popover::none;
  leave_review(w);
}

void take_connection(Workspace& w, const Json& event) {
  ReviewState& r = *w.review;
  const std::string before = r.connection;
  r.connection = text_of(event, "state");
  r.waiting = static_cast<std::size_t>(std::max(0.0, number_at(event, "waiting").value_or(0)));
  if (r.connection == "live" && before != "live") r.live_sent.clear();
  if (r.connection == "offline") {
    r.people.clear();
    r.following.clear();
  }
}

/// The link for changing was revoked: from now on the case is only looked at.
void take_viewing(Workspace& w) {
  w.review->may_change = false;
  w.review->change_link.clear();
  w.document.refuse_changes(kViewingOnly);
  w.say({Message::Kind::warning, "The link for changing was revoked", "from now on the shared case can only be viewed",
         "save the case as a file to go on alone, or ask whoever shared it", 0});
}

void take_ends(Workspace& w, const Json& event) {
  w.review->ends_ms = static_cast<std::int64_t>(number_at(event, "ends").value_or(0));
}

}  // namespace

void take_review_event(Workspace& w, const Json& event, std::vector<std::uint8_t> bytes) {
  w.wake();
  if (!w.review) return;
  const std::string kind = text_of(event, "event");
  if (kind == "stored") return take_stored(w, event);
  if (kind == "joined") return take_joined(w, event);
  if (kind == "entries") return take_entries(w, texts_at(event, "bodies"));
  if (kind == "trouble") return take_trouble(w, event);
  if (kind == "connection") return take_connection(w, event);
  if (kind == "viewing") return take_viewing(w);
  if (kind == "ends") return take_ends(w, event);
  if (kind == "left") return take_left(w, text_of(event, "session"));
  if (kind == "body") {
    const auto number = [&](const char* key) { return std::max(0.0, number_at(event, key).value_or(0)); };
    return take_body(w, static_cast<std::size_t>(number("index")), static_cast<std::uint64_t>(number("held")),
                     std::move(bytes));
  }
  if (kind == "live") {
    const Json* body = member(event, "body");
    if (body) take_live(w, text_of(event, "session"), *body, flag_at(event, "counts").value_or(false));
  }
  if (kind == "progress") {
    w.review->progress_words = text_of(event, "words");
    w.review->progress = number_at(event, "fraction").value_or(0);
  }
}

}  // namespace intercusp
