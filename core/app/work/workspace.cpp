#include "app/work/workspace.h"

#include <array>

#include "app/work/splint.h"
#include "app/work/surface_notes.h"
#include "casebook/digest.h"

namespace intercusp {

namespace {

constexpr std::array<const char*, kStops> kNames = {"records",   "bite",   "target", "cuts", "movement",
                                                    "clearance", "splint", "sheet",  "agree"};

}  // namespace

const char* stop_name(Stop stop) {
  return kNames[static_cast<std::size_t>(stop)];
}

std::optional<Stop> stop_of(const std::string& name) {
  for (std::size_t i = 0; i < kNames.size(); ++i)
    if (name == kNames[i]) return static_cast<Stop>(i);
  return std::nullopt;
}

void Workspace::say(Message message) {
  if (!messages.empty() && messages.back().what == message.what && message.kind == Message::Kind::failure) {
    messages.back().until = 0;  // said already: it stays a while longer
    return wake();
  }
  host.announce(message.what + (message.remedy.empty() ? "" : ". " + message.remedy));
  messages.push_back(std::move(message));
  while (messages.size() > 4) messages.pop_front();
  wake();
}

void Workspace::say_error(const Error& error, const std::string& meaning) {
  say({Message::Kind::failure, error.where.empty() ? error.what : error.where + ": " + error.what, meaning,
       error.remedy, 0});
}

const std::string& Workspace::plan_fingerprint() const {
  KeptFingerprint& kept = kept_fingerprint;
  if (kept.revision == document.revision() && kept.plan == plan) return kept.value;
  const Plan* of = current_plan();
  kept = {document.revision(), plan, of ? plan_digest(now(), *of) : ""};
  return kept.value;
}

Moment Workspace::moment() const {
  const Plan* plan_now = current_plan();
  if (held == Moment::rest || stop == Stop::cuts || !plan_now) return Moment::rest;
  return held == Moment::intermediate && jaws_moved(*plan_now).both() ? Moment::intermediate : Moment::planned;
}

std::string Workspace::moment_words() const {
  if (moment() == Moment::rest) return "at the start";
  return "plan " + plan + (moment() == Moment::intermediate ? " in between" : "");
}

Status Workspace::pieces_ready() const {
  if (pieces.waiting())
    return Error{"the bone is not in pieces yet", "", pieces.stopped() ? "let it be sawn first" : "wait for the saw"};
  if (!pieces.trouble().empty()) return Error{pieces.trouble(), "", ""};
  return Done{};
}

// The segment chosen may be none before a cut is made or after it was taken away.
void Workspace::choose_movable_segment() {
  if (pieces.waiting() || can_move(planned(), segment)) return;
  const bool upper = is_upper_name(segment);
  for (const std::string& other : movable_segments(planned())) {
    if (is_upper_name(other) != upper || !can_move(planned(), other)) continue;
    segment = other;
    locked.clear();
    return;
  }
}

void Workspace::refresh() {
  if (!has_case) return;
  if (!plan.empty() && !now().find_plan(plan)) plan = now().plans.empty() ? "" : now().plans.back().name;
  pieces.refresh(errands, document, current_plan(), dragging, [this](const SurfacePtr& surface, SurfaceNotes notes) {
    keep_notes(*this, surface, std::move(notes));
  });
  if (stop == Stop::cuts) laid_cuts.refresh(document, current_plan());
  choose_movable_segment();
  zones.refresh(now(), document.revision());
  const std::uint64_t read_before = readings.version();
  readings.refresh(shown(), document.revision() + (pieces.version() << 40), current_plan(), moment());
  const MadeSplint* between = shown_splint(*this);
  readings.hold(shown(), between ? splint.version + 1 : 0, between ? between->answer.made.poses : SegmentPoses{});
  if (readings.version() != read_before) rule.clear();  // what it was laid on has moved
}

}  // namespace intercusp
