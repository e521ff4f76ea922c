#include "app/work/workspace.h"

#include <array>

#include "app/work/surface_notes.h"

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

bool stop_built(Stop stop) {
  return stop == Stop::records || stop == Stop::bite || stop == Stop::target || stop == Stop::cuts ||
         stop == Stop::movement || stop == Stop::clearance;
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
  readings.refresh(shown(), document.revision() + (pieces.version() << 40), current_plan(), moment());
}

}  // namespace intercusp
