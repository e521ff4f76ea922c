// Commands on landmarks.
#include <algorithm>

#include "app/scene/words.h"
#include "app/view/layout.h"
#include "app/work/landmark_change.h"
#include "app/work/stops.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

// The next landmark of the missing list after one was placed.
void go_on(Workspace& w) {
  const auto missing = missing_landmarks(w);
  w.landmark_wanted = missing.empty() ? "" : missing.front();
  if (missing.empty()) w.tool = Tool::turn;
}

Result<Json> place(Workspace& w, const Json& args) {
  const std::string name = text_at(args, "name").value_or(""), merge = text_at(args, "merge").value_or("");
  if (!known_landmark(name))
    return Error{"\"" + name + "\" is not a landmark", "", "write it like 16.mesiobuccal_cusp"};
  const auto at = place_in(args);
  if (!at) return Error{"no place for " + name, "", "give at: three finite numbers in the frame of the scans"};
  Case next = w.now();
  next.landmarks[name] = Landmark{*at, true, Landmark::Origin::placed, 1};
  change_landmarks(w, std::move(next), "Placed " + landmark_words(name), merge);
  if (merge.empty() && name == w.landmark_wanted) go_on(w);
  return Json{{"missing", missing_landmarks(w)}};
}

Result<Json> remove(Workspace& w, const Json& args) {
  const std::string name = text_at(args, "name").value_or("");
  Case next = w.now();
  if (!next.landmarks.erase(name)) return Error{landmark_words(name) + " is not placed", "", ""};
  next.landmarks_edited = true;
  w.document.change(std::move(next), "Removed " + landmark_words(name));
  return nothing();
}

// Looks at the jaw of a landmark from where it is best placed.
void show_jaw_of(Workspace& w, const std::string& name) {
  if (!w.now().frame_known) return;
  send_view(w, w.active_view, jaw_of_landmark(name) == Jaw::lower ? "lower" : "upper");
}

Result<Json> pick_landmark(Workspace& w, const Json& args) {
  const std::string name = text_at(args, "name").value_or("");
  if (!name.empty() && !known_landmark(name)) return Error{"\"" + name + "\" is not a landmark", "", ""};
  w.landmark_wanted = name;
  w.tool = name.empty() ? Tool::turn : Tool::place_landmark;
  w.stop = Stop::records;
  w.held = Moment::rest;
  if (!name.empty()) show_jaw_of(w, name);
  return nothing();
}

// A person has looked at a proposed landmark and leaves it where it is.
Result<Json> confirm_landmark(Workspace& w, const Json& args) {
  const std::string name = text_at(args, "name").value_or("");
  Case next = w.now();
  const auto found = next.landmarks.find(name);
  if (found == next.landmarks.end()) return Error{"\"" + name + "\" is not placed", "", ""};
  found->second.confirmed = true;
  found->second.confidence = 1;
  if (w.landmark_wanted == name) w.landmark_wanted.clear();
  change_landmarks(w, std::move(next), "Confirmed " + landmark_words(name));
  return nothing();
}

// How sure a person is of a landmark where it stands.
Result<Json> set_confidence(Workspace& w, const Json& args) {
  const std::string name = text_at(args, "name").value_or("");
  const auto confidence = number_at(args, "confidence");
  if (!confidence || !(*confidence >= 0 && *confidence <= 1))
    return Error{"no confidence for " + landmark_words(name), "", "give confidence: 0 to 1"};
  Case next = w.now();
  const auto found = next.landmarks.find(name);
  if (found == next.landmarks.end()) return Error{"\"" + name + "\" is not placed", "", ""};
  found->second.confidence = *confidence;
  change_landmarks(w, std::move(next), "How sure: " + landmark_words(name), "confidence." + name);
  return nothing();
}

// A placed landmark large and from where it can be judged, to be confirmed or dragged.
Result<Json> look_at(Workspace& w, const Json& args) {
  const std::string name = text_at(args, "name").value_or("");
  if (!w.now().landmarks.count(name)) return Error{"\"" + name + "\" is not placed", "", ""};
  w.stop = Stop::records;
  w.tool = Tool::turn;
  w.held = Moment::rest;
  w.landmark_wanted = name;
  show_jaw_of(w, name);
  return nothing();
}

Result<Json> snap(Workspace& w, const Json& args) {
  w.snap = flag_at(args, "on").value_or(!w.snap);
  return Json{{"on", w.snap}};
}

}  // namespace

void add_landmark_commands(std::map<std::string, Command>& t) {
  t["place_landmark"] = {place};
  t["remove_landmark"] = {remove};
  t["pick_landmark"] = {pick_landmark};
  t["confirm_landmark"] = {confirm_landmark};
  t["landmark_confidence"] = {set_confidence};
  t["look_at"] = {look_at};
  t["snap"] = {snap};
}

}  // namespace intercusp
