#include "app/work/review.h"

#include <algorithm>

#include "app/view/layout.h"
#include "app/work/command_table.h"
#include "app/work/review_parts.h"
#include "base/json_read.h"
#include "review/agreed.h"

namespace intercusp {

namespace {

// Seconds. A change after a quiet while goes at once; those that follow closely wait for the last of them, so that
// nudges become one entry.
constexpr double kPauseBetween = 0.3;

double time_to_publish(const Workspace& w, const ReviewState& r) {
  return w.seconds < r.published_at + kPauseBetween ? w.seconds + kPauseBetween : w.seconds;
}

Sharing::Stamp stamp_of(Workspace& w) {
  return [&w] {
    const ReviewState& r = *w.review;
    const HostStamp made = w.host.stamp();
    return EntryStamp{made.id, r.author, r.name, r.role, made.time_ms};
  };
}

void tell(Workspace& w, const Sharing::News& news) {
  for (const std::string& body : news.bodies) w.host.review({{"ask", "append"}, {"body", body}}, {});
  w.review->waiting += news.bodies.size();
  for (const std::string& words : news.words) w.say({Message::Kind::note, words, "nothing was overwritten", "", 0});
  for (const Error& error : news.refused) w.say_error(error, "the rest of the case is as it was");
}

}  // namespace

void watch_changes(Workspace& w, ReviewState& r) {
  if (r.watched == w.document.revision()) return;
  r.watched = w.document.revision();
  r.sharing.watch(w.document);
  r.publish_at = r.sharing.has_changes() ? time_to_publish(w, r) : 0;
}

bool in_review(const Workspace& w) {
  return w.review && w.review->phase == ReviewState::Phase::open && w.has_case;
}

bool first_picture_shown(const Workspace& w) {
  return w.review && !w.has_case && w.review->phase == ReviewState::Phase::opening &&
         !w.review->first_picture.bodies.empty();
}

bool is_review_link(const std::string& fragment) {
  return fragment.rfind("review=", 0) == 0 || fragment.find("#review=") != std::string::npos;
}

Status ask_to_join(Workspace& w, const std::string& fragment) {
  leave_review(w);
  w.review = std::make_shared<ReviewState>();
  w.review->link = fragment;
  w.review->name = w.host.setting("review_name");
  w.review->role = w.host.setting("review_role");
  w.popover = Popover::join;
  w.wake();
  return Done{};
}

void publish_review(Workspace& w) {
  if (!in_review(w)) return;
  ReviewState& r = *w.review;
  r.publish_at = 0;
  if (!r.may_change) return;
  if (r.sharing.has_changes()) {
    r.published_at = w.seconds;
    r.published_ms = w.host.stamp().time_ms;
  }
  tell(w, r.sharing.publish(w.document, stamp_of(w), w.plan));
  r.watched = w.document.revision();
}

void publish_if_due(Workspace& w) {
  if (!in_review(w) || w.dragging) return;
  ReviewState& r = *w.review;
  watch_changes(w, r);
  if (r.publish_at <= 0) return;
  const std::int64_t since = w.host.stamp().time_ms - r.published_ms;
  if (since >= 0 && since < static_cast<std::int64_t>(1000 * kPauseBetween)) return;
  publish_review(w);
  r.published_between = true;
}

void take_entries(Workspace& w, const std::vector<std::string>& bodies) {
  ReviewState& r = *w.review;
  const bool open = in_review(w);
  const bool had_plans = w.has_case && !w.now().plans.empty();
  const Sharing::News news = r.sharing.take(open ? &w.document : nullptr, bodies, w.plan);
  if (open) r.watched = w.document.revision();
  // The first plan of a case is what everybody looks at, whoever began it.
  if (open && !had_plans && w.plan.empty() && !w.now().plans.empty()) w.plan = w.now().plans.front().name;
  if (open && r.sharing.has_changes() && r.publish_at == 0) r.publish_at = time_to_publish(w, r);
  tell(w, news);
  w.wake();
}

void tend_review(Workspace& w) {
  if (!in_review(w)) return;
  ReviewState& r = *w.review;
  if (r.published_between) r.published_at = w.seconds;
  r.published_between = false;
  watch_changes(w, r);
  if (r.publish_at > 0 && !w.dragging) {
    if (w.seconds >= r.publish_at)
      publish_review(w);
    else
      w.wake_at(r.publish_at);
  }
  tend_people(w, r);
}

void leave_review(Workspace& w) {
  if (!w.review) return;
  if (in_review(w)) publish_review(w);
  w.host.review({{"ask", "leave"}}, {});
  w.document.refuse_changes("");
  w.review.reset();
  w.wake();
}

Status may_change_review(const Workspace& w) {
  if (!in_review(w)) return Error{"the case is not shared", "", "share it first"};
  if (w.review->may_change) return Done{};
  return Error{kViewingOnly, "", "ask whoever shared it for the link for changing"};
}

Status write_entry(Workspace& w, Json fields) {
  const Status may = may_change_review(w);
  if (!may) return may;
  if (fields["do"] != "begin") publish_review(w);  // what was done before comes before
  const auto body = w.review->sharing.write(stamp_of(w), std::move(fields));
  if (!body) return body.error();
  w.host.review({{"ask", "append"}, {"body", body.value()}}, {});
  ++w.review->waiting;
  w.wake();
  return Done{};
}

const std::vector<StandingAgreement>& standing_agreements(const Workspace& w) {
  ReviewState& r = *w.review;
  const SharedCase& shared = r.sharing.shared();
  if (r.standing_at != shared.revision() || r.standing_plan != w.plan) {
    r.standing = agreements_on(shared, w.plan);
    r.standing_at = shared.revision();
    r.standing_plan = w.plan;
  }
  return r.standing;
}

std::vector<std::string> agreed_lines(const Workspace& w, const std::string& plan) {
  if (!in_review(w)) return {};
  return agreement_lines(w.review->sharing.shared(), plan);
}

}  // namespace intercusp
