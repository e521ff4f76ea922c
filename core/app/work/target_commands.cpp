// Commands that look for a position: where the arches seat best, and how far the lower jaw closes.
#include <algorithm>
#include <iterator>

#include "app/scene/plan_edit.h"
#include "app/work/command_table.h"
#include "app/work/seated_jaw.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

// A case with the entries at the end of the plan worked on.
Case with_entries(Workspace& w, std::vector<PlanEntry> added) {
  Case next = w.now();
  if (w.plan.empty() || !next.find_plan(w.plan)) {
    w.plan = next_plan_name(next);
    next.plans.push_back({w.plan, {}, "upper"});
  }
  std::vector<PlanEntry>& entries = next.find_plan(w.plan)->entries;
  entries.insert(entries.end(), std::make_move_iterator(added.begin()), std::make_move_iterator(added.end()));
  return next;
}

int quarters_at(const Json& args, const char* name, int otherwise) {
  const std::string relation = text_at(args, name).value_or("");
  return relation == "I" ? 0 : relation == "II" ? 4 : relation == "III" ? -4 : otherwise;
}

// {"segment","molar","canine"}: positions to choose from. `segment` may also be "pieces": the upper jaw in those of its
// cuts.
Result<Json> seat_bite(Workspace& w, const Json& args) {
  if (const Status ready = w.pieces_ready(); !ready) return ready.error();
  const std::string wanted = text_at(args, "segment").value_or(seated_jaw(w));
  const bool in_pieces = wanted == kSeatedInPieces;
  if (in_pieces && upper_pieces(w.planned()).empty())
    return Error{"the upper jaw is in one piece", "seat_bite", "cut it in pieces first"};
  const std::string segment = segment_with_teeth(w.planned(), in_pieces ? "upper" : wanted);
  if (const Status may = can_move(w.planned(), segment); !may) return may.error();
  w.seating.settings.molar_quarters = quarters_at(args, "molar", w.seating.settings.molar_quarters);
  w.seating.settings.canine_quarters = quarters_at(args, "canine", w.seating.settings.canine_quarters);
  w.seating.jaw = in_pieces ? kSeatedInPieces : is_lower_name(segment) ? "lower" : "upper";
  w.seating.offers.clear();
  w.seating.taken = -1;
  SeatBite errand{w.planned(), w.plan, {segment, in_pieces}, w.seating.settings};
  errand.settings.contact = w.now().contact_settings;
  return from(w.errands.go(std::move(errand), "Looking where the teeth meet best",
                           [&w, revision = w.document.revision()](ErrandAnswer& answer) -> Status {
                             if (const auto* error = std::get_if<Error>(&answer)) return *error;
                             if (auto* found = std::get_if<BiteSeated>(&answer))
                               w.seating.offers = std::move(found->offers);
                             w.seating.revision = revision;
                             w.wake();
                             return Done{};
                           }));
}

// {"index"}: takes one of the positions into the plan, in place of the one taken before.
Result<Json> take_seat(Workspace& w, const Json& args) {
  const auto index = static_cast<int>(number_at(args, "index").value_or(0));
  Seating& s = w.seating;
  if (index < 0 || index >= static_cast<int>(s.offers.size()))
    return Error{"there is no such position", "take_seat", "look for positions first"};
  if (s.taken >= 0 && w.document.revision() == s.revision)
    w.document.undo();
  else if (w.document.revision() != s.revision)
    return Error{"the plan changed since these positions were found", "", "look for them again"};
  const SettleOffer& offer = s.offers[static_cast<std::size_t>(index)];
  const std::string jaw = is_lower_name(offer.entries.front().segment) ? "lower" : "upper";
  w.document.change(with_entries(w, offer.entries), "Seated the " + jaw + " teeth" +
                                                        (offer.solution.pieces.empty() ? "" : " in pieces") +
                                                        ", position " + std::to_string(index + 1));
  w.held = Moment::planned;
  s.taken = index;
  s.revision = w.document.revision();
  return Json{{"plan", w.plan}};
}

// {"until": contact, vertical or splint, "mm"}: turns the lower jaw about the hinge axis.
Result<Json> close_jaw(Workspace& w, const Json& args) {
  if (const Status ready = w.pieces_ready(); !ready) return ready.error();
  const std::string until = text_at(args, "until").value_or("contact");
  ClosingGoal goal;
  goal.axis = text_at(args, "axis").value_or("condyles");
  goal.mm = number_at(args, "mm").value_or(until == "splint" ? 1 : 0);
  if (until == "vertical")
    goal.until = ClosingGoal::Until::vertical;
  else if (until == "splint")
    goal.until = ClosingGoal::Until::splint;
  else if (until != "contact")
    return Error{"\"" + until + "\" is not something to close to", "", "use contact, vertical or splint"};
  return from(w.errands.go(CloseJaw{w.planned(), w.plan, goal}, "Closing the jaw",
                           [&w, revision = w.document.revision()](ErrandAnswer& answer) -> Status {
                             if (const auto* error = std::get_if<Error>(&answer)) return *error;
                             const auto* closed = std::get_if<JawClosed>(&answer);
                             if (!closed || revision != w.document.revision())
                               return Error{"the plan changed while the jaw was closing", "", "close it again"};
                             w.document.change(with_entries(w, {closing_entry(closed->result.closing)}),
                                               "Closed the lower jaw about the hinge axis");
                             w.held = Moment::planned;
                             w.wake();
                             return Done{};
                           }));
}

}  // namespace

void add_target_commands(std::map<std::string, Command>& t) {
  t["seat_bite"] = {seat_bite};
  t["take_seat"] = {take_seat};
  t["close_jaw"] = {close_jaw};
}

}  // namespace intercusp
