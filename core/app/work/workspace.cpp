#include "app/work/workspace.h"

#include <array>

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
  return stop == Stop::records || stop == Stop::bite || stop == Stop::movement || stop == Stop::clearance;
}

void Workspace::say(Message message) {
  host.announce(message.what + (message.remedy.empty() ? "" : ". " + message.remedy));
  messages.push_back(std::move(message));
  while (messages.size() > 4) messages.pop_front();
  wake();
}

void Workspace::say_error(const Error& error, const std::string& meaning) {
  say({Message::Kind::failure, error.where.empty() ? error.what : error.where + ": " + error.what, meaning,
       error.remedy, 0});
}

void Workspace::refresh() {
  if (!has_case) return;
  if (!plan.empty() && !now().find_plan(plan)) plan = now().plans.empty() ? "" : now().plans.back().name;
  readings.refresh(document, current_plan(), moment());
}

}  // namespace intercusp
