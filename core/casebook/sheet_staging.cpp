// Which jaw goes first, and how the other stands meanwhile: this plan's own case, never a choice of several.
#include <cmath>

#include "casebook/sheet_parts.h"
#include "surgery/movement_note.h"

namespace intercusp {

namespace {

bool moves(const PlanEntry& entry) {
  return entry.kind == PlanEntry::Kind::movement;
}

std::string turn_words(const Closing& closing) {
  const std::string axis = closing.axis == "condyles" ? "the axis through the condyles" : "an arbitrary hinge axis";
  return std::string(closing.open_deg < 0 ? "closed " : "open ") + fixed_number(std::abs(closing.open_deg), 1) +
         " degrees about " + axis;
}

/// The turns of the lower jaw before anything else moves it, which the intermediate position has (see segment_poses).
std::string turned_before_moving(const Plan& plan) {
  std::string words;
  for (const PlanEntry& entry : plan.entries) {
    if (moves(entry) && is_lower_name(entry.segment)) break;
    if (entry.kind == PlanEntry::Kind::closing) add_phrase(words, turn_words(entry.closing), ", then ");
  }
  return words;
}

}  // namespace

bool only_the_chin(const Plan& plan) {
  bool chin = false;
  for (const PlanEntry& entry : plan.entries) {
    if (entry.kind == PlanEntry::Kind::closing) return false;
    if (!moves(entry) || !is_lower_name(entry.segment)) continue;
    if (entry.segment != "chin") return false;
    chin = true;
  }
  return chin;
}

std::string staging_words(const SheetCase& s) {
  const JawsMoved jaws = jaws_moved(*s.plan);
  if (s.plan->entries.empty()) return "The plan holds no cut and no movement yet.";
  if (!jaws.upper && !jaws.lower) return "The plan cuts and moves nothing yet.";
  if (only_the_chin(*s.plan)) {
    return jaws.upper ? "Upper jaw and chin move: the lower teeth stay as scanned, and there is no intermediate bite."
                      : "Only the chin moves: the bite stays as scanned, and there is no intermediate position.";
  }
  if (!s.two_jaws) return "One jaw moves: there is no intermediate position.";
  if (s.plan->first_jaw == "lower")
    return "Lower jaw first: at the intermediate position it stands where planned and the upper jaw as scanned.";
  const std::string turned = turned_before_moving(*s.plan);
  return "Upper jaw first: at the intermediate position it stands where planned and the lower jaw " +
         (turned.empty() ? std::string("as scanned.") : "turned " + turned + ".");
}

std::string way_words(const SheetCase& s, const PathOverlap& way) {
  const PlanEntry& entry = s.plan->entries[way.entry];
  if (entry.kind == PlanEntry::Kind::closing) return "on the way of the lower jaw's turn " + turn_words(entry.closing);
  std::string segment = sheet_segment_words(entry.segment);
  if (!segment.empty() && segment[0] >= 'A' && segment[0] <= 'Z')
    segment[0] = static_cast<char>(segment[0] - 'A' + 'a');
  Movement shift = entry.movement;
  shift.pitch_deg = shift.roll_deg = shift.yaw_deg = 0;
  const bool turns_only = movement_words(shift) == movement_words({});
  return "on the way of the " + segment + "'s " + movement_words(turns_only ? entry.movement : shift);
}

}  // namespace intercusp
