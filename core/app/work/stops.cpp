#include "app/work/stops.h"

#include <algorithm>
#include <set>

#include "anatomy/tooth_proposal.h"
#include "app/scene/words.h"
#include "app/work/first_reading.h"
#include "app/work/review.h"
#include "app/work/splint.h"
#include "app/work/surfaces.h"

namespace intercusp {

namespace {

void add_once(std::vector<std::string>& list, const std::string& name) {
  if (known_landmark(name) && std::find(list.begin(), list.end(), name) == list.end()) list.push_back(name);
}

std::size_t overlaps(const Workspace& w) {
  std::size_t n = 0;
  for (const ClearanceRow& r : w.contacts.clearance()) n += !r.planned && r.depth_mm >= kTouchingDepthMm;
  return n;
}

bool has_entries(const Workspace& w) {
  return w.current_plan() && !w.current_plan()->entries.empty();
}

// A cut alone moves nothing.
bool moved(const Workspace& w) {
  if (!w.current_plan()) return false;
  const auto& entries = w.current_plan()->entries;
  return std::any_of(entries.begin(), entries.end(), [](const PlanEntry& e) { return e.kind != PlanEntry::Kind::cut; });
}

// What is listed then is not what the plan does.
bool start_is_shown(const Workspace& w) {
  return moved(w) && w.moment() == Moment::rest;
}

std::size_t places_near_cuts(const Workspace& w) {
  std::size_t n = 0;
  for (const LaidCut& cut : w.laid_cuts.all())
    for (const CutClearance& c : cut.clearances) n += c.too_near();
  return n;
}

StopWord records_word(const Workspace& w) {
  const bool arches = w.now().find_body("upper_arch") && w.now().find_body("lower_arch");
  if (!arches) return {StopState::open, "open two scans"};
  const std::size_t n = missing_landmarks(w).size();
  if (n > 0) return {StopState::attention, std::to_string(n) + " to place"};
  const std::size_t doubtful = points_in_doubt(w).size();
  if (doubtful > 0) return {StopState::attention, std::to_string(doubtful) + " to look at"};
  return {StopState::done, "complete"};
}

StopWord bite_word(const Workspace& w) {
  const MeasureRow* overjet = w.readings.now().row("overjet");
  if (!overjet || !overjet->value) return {StopState::attention, "not measured"};
  return {StopState::done, "measured"};
}

StopWord target_word(const Workspace& w) {
  if (w.seating.taken >= 0) return {StopState::done, "chosen"};
  return {StopState::open, w.seating.offers.empty() ? "to look for" : "to choose"};
}

StopWord cuts_word(const Workspace& w) {
  if (!has_cuts(w.current_plan())) return {StopState::open, upper_jaw_uncut(w.now()) ? "none yet" : "no bone"};
  if (!w.pieces.trouble().empty()) return {StopState::attention, "cannot be made"};
  if (w.pieces.waiting()) return {StopState::open, "being sawn"};
  if (const std::size_t near = places_near_cuts(w)) return {StopState::attention, std::to_string(near) + " too near"};
  return {StopState::done, "sawn"};
}

StopWord agree_word(const Workspace& w) {
  if (!in_review(w)) return {StopState::open, "by link"};
  bool occlusion = false, movement = false, outdated = false;
  std::set<std::string> people;
  for (const StandingAgreement& s : standing_agreements(w)) {
    outdated |= !s.current;
    if (!s.current) continue;
    occlusion |= s.agreement.part == "occlusion";
    movement |= s.agreement.part == "movement";
    people.insert(s.agreement.author);
  }
  if (outdated) return {StopState::attention, "outdated"};
  if (occlusion && movement)
    return people.size() > 1 ? StopWord{StopState::done, "agreed"} : StopWord{StopState::open, "by one person"};
  return {StopState::open, occlusion || movement ? "half agreed" : "not agreed"};
}

StopWord splint_word(const Workspace& w) {
  if (w.splint.refusal) return {StopState::attention, "cannot be made"};
  const MadeSplint* made = w.splint.current();
  if (!made || made->quick) return {StopState::open, has_entries(w) ? "to make" : "no plan"};
  if (age_of(w, *made) != SplintAge::current) return {StopState::attention, "outdated"};
  const Splint& splint = made->answer.made.splint;
  if (!splint.upper.seats || !splint.lower.seats) return {StopState::attention, "does not seat"};
  if (splint_asks_for_a_look(*made)) return {StopState::attention, "look at it"};
  return {StopState::done, "made"};
}

StopWord clearance_word(const Workspace& w) {
  if (start_is_shown(w)) return {StopState::open, "start shown"};
  const std::size_t n = overlaps(w);
  if (n > 0) return {StopState::attention, std::to_string(n) + (n == 1 ? " place" : " places")};
  if (!w.contacts.clearance().empty()) return {StopState::done, "teeth touch"};
  const bool bone =
      std::any_of(w.now().bodies.begin(), w.now().bodies.end(), [](const Body& b) { return !is_dental(b.name); });
  return {StopState::done, bone ? "clear" : "teeth clear"};
}

}  // namespace

std::vector<std::string> missing_landmarks(const Workspace& w) {
  std::vector<std::string> out;
  if (!w.has_case) return out;
  for (const std::string& name : missing_for_occlusal_frame(w.readings.start().points)) add_once(out, name);
  for (const MeasureRow& row : w.readings.start().rows)
    for (const std::string& name : row.needs)
      if (!w.now().landmarks.count(name)) add_once(out, name);
  return out;
}

std::vector<std::string> useful_landmarks(const Workspace& w) {
  std::vector<std::string> out;
  for (const auto& [name, mark] : w.now().landmarks) add_once(out, name);
  for (const std::string& name : missing_landmarks(w)) add_once(out, name);
  for (const MeasureDefinition& d : measure_table())
    for (const std::string& name : d.needs) add_once(out, name);
  std::sort(out.begin(), out.end());
  return out;
}

bool in_doubt(const Workspace& w, const std::string& name) {
  const auto placed = w.now().landmarks.find(name);
  return placed != w.now().landmarks.end() && !placed->second.confirmed && placed->second.confidence < kSureLandmark;
}

std::vector<std::string> points_in_doubt(const Workspace& w) {
  std::vector<std::string> out;
  for (const auto& [name, mark] : w.now().landmarks)
    if (in_doubt(w, name)) out.push_back(name);
  return out;
}

StopWord state_of_stop(const Workspace& w, Stop stop) {
  if (stop == Stop::sheet) return {StopState::open, has_entries(w) ? "ready" : "no plan"};
  if (stop == Stop::agree) return agree_word(w);
  if (!w.has_case) return {StopState::open, "open"};
  if (stop == Stop::records) return records_word(w);
  if (stop == Stop::bite) return bite_word(w);
  if (stop == Stop::clearance) return clearance_word(w);
  if (stop == Stop::target) return target_word(w);
  if (stop == Stop::cuts) return cuts_word(w);
  if (stop == Stop::splint) return splint_word(w);
  return moved(w) ? StopWord{StopState::done, "planned"} : StopWord{StopState::open, "not moved"};
}

NextThing next_thing(const Workspace& w) {
  if (!w.has_case) return {"Open two scans, or a sample", "home"};
  if (w.waiting_scan) return {"Choose the unit of the scan", "stop", {{"name", "records"}}};
  if (!w.now().find_body("upper_arch") || !w.now().find_body("lower_arch"))
    return {"Open the other scan", "ask_for_files"};
  const FirstReading reading = first_reading(w);
  if (reading.left.size() > 1) {
    const std::string teeth = std::to_string(reading.left.size()) + " teeth";
    if (w.tool == Tool::click_teeth)
      return {"Click " + teeth + " more, beginning with " + std::to_string(*reading.left.begin()),
              "click_teeth",
              {{"on", true}}};
    return {"Click each of " + teeth + " once for the first reading", "click_teeth", {{"on", true}}};
  }
  if (can_lay_on_bone(w) && !lies_on_bone(w)) return {"Lay the scans on the bone", "lay_on_bone"};
  const auto doubtful = points_in_doubt(w);
  if (!doubtful.empty() && w.tool != Tool::click_teeth && w.landmark_wanted != doubtful.front())
    return {"Look at " + landmark_words(doubtful.front()), "look_at", {{"name", doubtful.front()}}};
  const auto missing = missing_landmarks(w);
  if (!missing.empty())
    return {"Place " + landmark_words(missing.front()), "pick_landmark", {{"name", missing.front()}}};
  const bool maxilla = bool(can_move(w.planned(), "maxilla")), upper = maxilla || bool(can_move(w.planned(), "upper"));
  const std::string jaw = upper ? "upper jaw" : "lower jaw";
  if (!moved(w) && w.stop != Stop::movement)
    return {"Move the " + jaw + " and watch how the teeth meet", "stop", {{"name", "movement"}}};
  if (!moved(w))
    return {"Move the " + jaw + " 1 mm " + (upper ? "forward" : "back") + ", to try",
            "nudge",
            {{"segment", maxilla ? "maxilla"
                         : upper ? "upper"
                                 : "lower"},
             {"quantity", "forward"},
             {"steps", upper ? 2 : -2}}};
  if (start_is_shown(w)) return {"Show the jaws as planned", "compare", {{"shown", "plan"}}};
  const auto look = static_cast<std::size_t>(w.stop == Stop::clearance ? w.chosen_clearance + 1 : 0);
  if (look < overlaps(w)) {
    const ClearanceRow& place = w.contacts.clearance()[look];
    return {(look == 0 ? "See what is in the way: " : "See the next place: ") + place.site + ", " +
                amount(place.depth_mm, 1) + " mm deep",
            "clearance",
            {{"index", look}}};
  }
  if (in_review(w)) return {"Agree to plan " + w.plan + ", or pin a remark", "stop", {{"name", "agree"}}};
  return {"Share the plan as a link or save it", "share_box"};
}

}  // namespace intercusp
