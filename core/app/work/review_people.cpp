// Who is here: live messages out and in.
#include "app/view/layout.h"
#include "app/work/command_table.h"
#include "app/work/review_parts.h"
#include "app/work/view_json.h"
#include "base/json_read.h"
#include "review/entry_fields.h"

namespace intercusp {

namespace {

constexpr double kLiveSeconds = 0.04;    // between two live messages
constexpr double kStillHereSeconds = 8;  // one is sent although nothing changed, for those who come
constexpr double kGoneSeconds = 40;      // without a word

/// The plan that is being dragged, as the others show it meanwhile.
Json dragged(const Workspace& w, const ReviewState& r) {
  const Plan* plan = w.current_plan();
  if (!w.dragging || !plan || !r.may_change) return nullptr;
  const auto [thing, line] = r.sharing.shared().shown_plan(w.plan);
  if (!thing) return nullptr;
  Json moves = plan_value(*plan);
  moves["plan"] = thing->name;
  moves["on"] = thing->lines[line].tip;
  return moves;
}

Json own_live(const Workspace& w, const ReviewState& r) {
  Json body = {{"name", r.name}, {"role", r.role},           {"author", r.author},
               {"plan", w.plan}, {"look", r.asking_to_look}, {"camera", camera_json(w.views[w.active_view].camera)}};
  body["pointer"] = r.pointed_body.empty() ? Json()
                                           : Json{{"body", r.pointed_body},
                                                  {"point", {r.pointed_at.x(), r.pointed_at.y(), r.pointed_at.z()}}};
  Json moves = dragged(w, r);
  if (!moves.is_null()) body["moves"] = std::move(moves);
  return body;
}

void send_live(Workspace& w, ReviewState& r) {
  const double since = w.seconds - r.live_at;
  if (r.people.empty() && since < 1 && !r.live_sent.empty()) return;
  if (since < kLiveSeconds && !r.live_sent.empty()) return w.wake_at(r.live_at + kLiveSeconds);
  Json body = own_live(w, r);
  const std::string text = body.dump();
  if (text == r.live_sent && since < kStillHereSeconds) return;
  r.live_at = w.seconds;
  r.live_sent = text;
  body["count"] = ++r.live_count;
  w.host.review({{"ask", "live"}, {"body", body.dump()}, {"signed", body.contains("moves")}}, {});
}

void follow_view(Workspace& w, ReviewState& r) {
  const auto found = r.people.find(r.following);
  if (r.following.empty()) return;
  if (found == r.people.end() || w.moving) {  // gone, or one turned the view oneself
    r.following.clear();
    return;
  }
  if (!found->second.camera) return;
  Camera& mine = w.views[w.active_view].camera;
  const Camera& theirs = *found->second.camera;
  const bool same = mine.target == theirs.target && mine.half_height_mm == theirs.half_height_mm &&
                    mine.view_from_patient.coeffs() == theirs.view_from_patient.coeffs();
  if (same) return;
  mine = theirs;
  w.views[w.active_view].record.clear();
  w.glide.reset();
  w.wake();
}

std::string short_text(const Json& body, const char* key) {
  const std::string text = text_at(body, key).value_or("");
  return text.substr(0, std::min<std::size_t>(text.size(), kLongestName));
}

std::optional<Vec3> point_of(const Json& pointer) {
  const Json* p = member(pointer, "point");
  if (!p || !p->is_array() || p->size() != 3) return std::nullopt;
  Vec3 at;
  for (std::size_t i = 0; i < 3; ++i) {
    if (!(*p)[i].is_number()) return std::nullopt;
    at[static_cast<Eigen::Index>(i)] = (*p)[i].get<double>();
  }
  return at.allFinite() ? std::optional<Vec3>(at) : std::nullopt;
}

/// The name here of the plan that a live message drags, where it is one that we have.
std::string dragged_name(const ReviewState& r, const Json& moves) {
  const SharedThing* thing = r.sharing.shared().find_thing("plan", text_at(moves, "plan").value_or(""));
  const std::string on = text_at(moves, "on").value_or("");
  if (!thing) return {};
  for (const ThingLine& line : thing->lines)
    if (line.tip == on) return line.shown_as;
  return {};
}

void take_dragged(Workspace& w, PersonHere& person, const Json* moves) {
  ReviewState& r = *w.review;
  watch_changes(w, r);
  const std::string name = moves ? dragged_name(r, *moves) : "";
  if (name.empty()) {
    if (!person.dragged_plan.empty()) r.sharing.preview(w.document, person.dragged_plan, nullptr);
    person.dragged_plan.clear();
  } else {
    const auto plan = plan_from_value(*moves, name);
    if (plan.ok()) r.sharing.preview(w.document, name, &plan.value());
    person.dragged_plan = name;
  }
  r.watched = w.document.revision();
}

void greet(Workspace& w, const PersonHere& person) {
  const std::string who = person.name.empty() ? "Somebody" : person.name;
  w.say({Message::Kind::note, who + (person.role.empty() ? "" : ", " + person.role + ",") + " is here", "", "", 0});
  w.review->live_sent.clear();  // so that they hear of us at once
}

}  // namespace

void take_live(Workspace& w, const std::string& session, const Json& body, bool counts) {
  if (!in_review(w) || !body.is_object()) return;
  ReviewState& r = *w.review;
  const bool fresh = !r.people.count(session);
  PersonHere& person = r.people[session];
  person.name = short_text(body, "name");
  person.role = short_text(body, "role");
  person.author = short_text(body, "author");
  person.plan = short_text(body, "plan");
  person.heard = w.seconds;
  if (fresh) greet(w, person);
  const Json* pointer = member(body, "pointer");
  const auto at = pointer ? point_of(*pointer) : std::nullopt;
  person.pointed_body = at ? short_text(*pointer, "body") : "";
  if (at) person.pointed_at = *at;
  Camera camera;
  const Json* seen = member(body, "camera");
  if (seen && read_camera(*seen, camera)) person.camera = camera;
  const bool asked = person.asks_to_look;
  person.asks_to_look = flag_at(body, "look").value_or(false);
  if (person.asks_to_look && !asked)
    w.say({Message::Kind::note, person.name + " asks you to look with them", "",
           "press \"Look with them\" under who is here", 0});
  const Json* moves = counts ? member(body, "moves") : nullptr;
  if (moves || !person.dragged_plan.empty()) take_dragged(w, person, moves);
  w.wake();
}

void take_left(Workspace& w, const std::string& session) {
  ReviewState& r = *w.review;
  const auto found = r.people.find(session);
  if (found == r.people.end()) return;
  if (!found->second.dragged_plan.empty() && in_review(w)) take_dragged(w, found->second, nullptr);
  r.people.erase(found);
  w.wake();
}

void tend_people(Workspace& w, ReviewState& r) {
  for (auto it = r.people.begin(); it != r.people.end();) {
    const bool gone = w.seconds - it->second.heard > kGoneSeconds;
    const std::string session = it->first;
    ++it;
    if (gone) take_left(w, session);
  }
  follow_view(w, r);
  if (r.connection == "live") send_live(w, r);
}

}  // namespace intercusp
