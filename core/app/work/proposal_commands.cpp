// Commands that propose a tooth's landmarks from one click, and confirm them.

#include "anatomy/notation.h"
#include "anatomy/tooth_proposal.h"
#include "app/view/layout.h"
#include "app/work/commands.h"
#include "app/work/landmark_change.h"
#include "app/work/stops.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

const ArchFit* arch_on(const Workspace& w, const Body& body) {
  const auto kept = w.arches.find(body.name);
  return kept == w.arches.end() || kept->second.surface != body.surface ? nullptr : &kept->second.fit;
}

/// Has the average arch laid on a body, unless that is under way; it is kept as long as the body has this surface.
Status lay_arch(Workspace& w, const Body& body) {
  const bool upper = body.name == "upper_arch";
  if (!upper && body.name != "lower_arch")
    return Error{"\"" + body.name + "\" is not a dental arch", "", "click a tooth of the upper or the lower arch"};
  const std::string words = upper ? "Finding the upper teeth on the scan" : "Finding the lower teeth on the scan";
  if (w.errands.awaits(words)) return Done{};
  LayArch errand{body.surface, upper, std::nullopt};
  if (w.now().frame_known) errand.patient_from_scan = w.now().patient_from_scans;
  const auto then = [&w, name = body.name, surface = body.surface](ErrandAnswer& answer) -> Status {
    if (auto* laid = std::get_if<ArchLaid>(&answer)) w.arches[name] = {surface, std::move(laid->fit)};
    if (const auto* error = std::get_if<Error>(&answer)) {
      w.clicks_due.clear();
      return *error;
    }
    return Done{};
  };
  return w.errands.go(std::move(errand), words, then);
}

Json answer_for(const ToothProposal& proposal, const std::vector<std::string>& kept) {
  Json marks = Json::object();
  for (const ProposedLandmark& l : proposal.landmarks)
    marks[l.name] = {{"confidence", l.confidence}, {"sure", l.confidence >= kSureLandmark}};
  return Json{{"tooth", proposal.tooth},
              {"confidence", proposal.confidence},
              {"sure", proposal.confidence >= kSureTooth},
              {"landmarks", marks},
              {"kept", kept}};
}

/// Places what is proposed, as one step. What a person placed or confirmed stays; returns that.
std::vector<std::string> place_proposed(Workspace& w, const ToothProposal& proposal) {
  Case next = w.now();
  std::vector<std::string> kept;
  for (const ProposedLandmark& l : proposal.landmarks) {
    const auto there = next.landmarks.find(l.name);
    if (there != next.landmarks.end() && there->second.confirmed)
      kept.push_back(l.name);
    else
      next.landmarks[l.name] = Landmark{l.at, false, Landmark::Origin::proposed, l.confidence};
  }
  if (kept.size() == proposal.landmarks.size()) return kept;
  change_landmarks(w, std::move(next), "Proposed the landmarks of the " + tooth_name(proposal.tooth));
  return kept;
}

Result<Json> propose(Workspace& w, const Json& args) {
  const std::string name = text_at(args, "body").value_or("");
  const Body* body = w.now().find_body(name);
  if (!body) return Error{"there is no body \"" + name + "\"", "", "click a tooth of the upper or the lower arch"};
  const auto at = place_in(args);
  if (!at) return Error{"no place was clicked", "", "give at: [x, y, z] in patient mm"};
  if (!arch_on(w, *body)) {
    const ErrandDesk::AtOnce now(w.errands);
    const Status laid = lay_arch(w, *body);
    if (!laid) return laid.error();
  }
  const Vec3 click = w.now().patient_from_scans.inverse() * *at;
  const ToothProposal proposal = propose_tooth(*body->surface, *arch_on(w, *body), click);
  if (proposal.tooth == 0) return Error{"there is no tooth at this place", "", "click the crown of a tooth"};
  const std::vector<std::string> kept = place_proposed(w, proposal);
  w.clicked = ClickedTooth{proposal.tooth, proposal.confidence >= kSureTooth, proposal.landmarks.size()};
  Json answer = answer_for(proposal, kept);
  answer["missing"] = missing_landmarks(w);
  return answer;
}

/// Confirms all landmarks of a tooth, as one step.
Result<Json> confirm(Workspace& w, const Json& args) {
  const int tooth = static_cast<int>(number_at(args, "tooth").value_or(0));
  if (!is_permanent_tooth(tooth)) return Error{"no tooth was named", "", "give tooth: 16, or another ISO 3950 number"};
  const std::string prefix = std::to_string(tooth) + ".";
  Case next = w.now();
  int placed = 0, confirmed = 0;
  for (auto& [name, landmark] : next.landmarks) {
    if (name.compare(0, prefix.size(), prefix) != 0) continue;
    ++placed;
    confirmed += !landmark.confirmed;
    if (!landmark.confirmed) landmark.confidence = 1;
    landmark.confirmed = true;
  }
  if (placed == 0)
    return Error{"no landmark of the " + tooth_name(tooth) + " is placed", "", "click the tooth to have them proposed"};
  if (confirmed > 0) change_landmarks(w, std::move(next), "Confirmed the landmarks of the " + tooth_name(tooth));
  return Json{{"tooth", tooth}, {"confirmed", confirmed}};
}

/// The points of a tooth under another number, as far as that tooth has them and no person confirmed its own; they ask
/// for a look.
Result<Json> renumber(Workspace& w, const Json& args) {
  const int from = static_cast<int>(number_at(args, "tooth").value_or(0)),
            to = static_cast<int>(number_at(args, "to").value_or(0));
  if (!is_permanent_tooth(from) || !is_permanent_tooth(to) || is_upper(from) != is_upper(to) || from == to)
    return Error{"no other tooth of the same jaw was named", "", "give tooth: 16 and to: 17"};
  Case next = w.now();
  const std::string old = std::to_string(from) + ".", now = std::to_string(to) + ".";
  std::vector<std::string> moved;
  for (const std::string& name : landmarks_of_tooth(from)) {
    const auto there = next.landmarks.find(name);
    if (there == next.landmarks.end()) continue;
    const std::string renamed = now + name.substr(old.size());
    const auto taken = next.landmarks.find(renamed);
    const bool stays = taken != next.landmarks.end() && taken->second.confirmed;
    if (known_landmark(renamed) && !stays) {
      next.landmarks[renamed] = {there->second.at, false, there->second.origin, 0.5 * kSureLandmark};
      moved.push_back(renamed);
    }
    next.landmarks.erase(name);
  }
  if (moved.empty())
    return Error{"no point of the " + tooth_name(from) + " can be one of the " + tooth_name(to), "",
                 "its points are confirmed already, or there are none to move"};
  change_landmarks(w, std::move(next), "Called the " + tooth_name(from) + " the " + tooth_name(to));
  w.clicked = ClickedTooth{to, true, moved.size()};
  return Json{{"tooth", to}, {"landmarks", moved.size()}};
}

/// Both arches from the chewing side; the next clicks on the model propose whole teeth, until it is switched off.
Result<Json> click_teeth(Workspace& w, const Json& args) {
  const bool on = flag_at(args, "on").value_or(w.tool != Tool::click_teeth);
  w.landmark_wanted.clear();
  w.clicked.reset();
  w.stop = Stop::records;
  w.held = Moment::rest;
  if (on == (w.tool == Tool::click_teeth)) return Json{{"on", on}};
  w.tool = on ? Tool::click_teeth : Tool::turn;
  if (on) w.layout_before = w.layout;
  // Each arch from its chewing side, where no tooth hides another.
  set_layout(w, on ? "arches" : w.layout_before);
  return Json{{"on", on}};
}

}  // namespace

void propose_clicked_teeth(Workspace& w) {
  while (!w.clicks_due.empty()) {
    const ToothClick click = w.clicks_due.front();
    const Body* body = w.now().find_body(click.body);
    if (body && !arch_on(w, *body)) {
      const Status asked = lay_arch(w, *body);
      if (!asked) w.say_error(asked.error(), "nothing was changed");
      if (!asked) w.clicks_due.clear();
      return;
    }
    w.clicks_due.pop_front();
    run(w, "propose_tooth", {{"body", click.body}, {"at", {click.at.x(), click.at.y(), click.at.z()}}});
  }
}

void add_proposal_commands(std::map<std::string, Command>& t) {
  t["propose_tooth"] = {propose};
  t["confirm_tooth"] = {confirm};
  t["renumber_tooth"] = {renumber};
  t["click_teeth"] = {click_teeth};
}

}  // namespace intercusp
