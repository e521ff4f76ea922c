#include "review/local_changes.h"

#include <algorithm>

#include "base/json_read.h"
#include "casebook/case_json.h"
#include "review/entry_fields.h"

namespace intercusp {

using nlohmann::json;

namespace {

bool same(const Plan& a, const Plan& b) {
  return same_steps(a, b);
}

bool same(const Landmark& a, const Landmark& b) {
  return a == b;
}

/// The entry that sets the plan shown under a name to a value; null takes it away.
LocalChange plan_change(const SharedCase& shared, const std::string& shown_as, const json& value) {
  const auto [thing, line] = shared.shown_plan(shown_as);
  json fields = {{"do", "plan"}, {"plan", thing ? thing->name : shown_as}, {"on", thing ? thing->lines[line].tip : ""}};
  fields["entries"] = value.is_null() ? json() : value["entries"];
  fields["first_jaw"] = value.is_null() ? json("upper") : value["first_jaw"];
  return {"plan " + shown_as, std::move(fields)};
}

LocalChange landmark_change(const SharedCase& shared, const std::string& name, const Landmark* landmark) {
  const SharedThing* thing = shared.find_thing("landmark", name);
  json fields = {{"do", "landmark"}, {"landmark", name}, {"on", thing ? thing->lines.front().tip : ""}};
  const json value = landmark ? landmark_value(*landmark) : json();
  fields["at"] = landmark ? value["at"] : json();
  fields["confirmed"] = landmark && landmark->confirmed;
  for (const char* key : {"origin", "confidence"})
    if (value.contains(key)) fields[key] = value[key];
  return {"landmark " + name, std::move(fields)};
}

LocalChange lone_change(const SharedCase& shared, const char* kind, const char* field, json value) {
  const SharedThing* thing = shared.find_thing(kind, "");
  return {std::string(kind) + " ",
          {{"do", kind}, {"on", thing ? thing->lines.front().tip : ""}, {field, std::move(value)}}};
}

void plan_changes_of(const SharedCase& shared, const Case& mine, std::vector<LocalChange>& out) {
  for (const Plan& plan : mine.plans) {
    const Plan* other = shared.now().find_plan(plan.name);
    if (!other || !same_steps(*other, plan)) out.push_back(plan_change(shared, plan.name, plan_value(plan)));
  }
  for (const Plan& plan : shared.now().plans)
    if (!mine.find_plan(plan.name)) out.push_back(plan_change(shared, plan.name, json()));
}

void landmark_changes_of(const SharedCase& shared, const Case& mine, std::vector<LocalChange>& out) {
  const LandmarkSet& others = shared.now().landmarks;
  for (const auto& [name, landmark] : mine.landmarks) {
    const auto other = others.find(name);
    if (other == others.end() || !same(other->second, landmark))
      out.push_back(landmark_change(shared, name, &landmark));
  }
  for (const auto& [name, landmark] : others)
    if (!mine.landmarks.count(name)) out.push_back(landmark_change(shared, name, nullptr));
}

template <class T>
std::optional<T> found_in(const std::map<std::string, T>& map, const std::string& name) {
  const auto at = map.find(name);
  return at == map.end() ? std::nullopt : std::optional<T>(at->second);
}

std::optional<Plan> found_in(const Case& c, const std::string& name) {
  const Plan* plan = c.find_plan(name);
  return plan ? std::optional<Plan>(*plan) : std::nullopt;
}

template <class T>
bool alike(const std::optional<T>& a, const std::optional<T>& b) {
  return a && b ? same(*a, *b) : a.has_value() == b.has_value();
}

std::optional<Pose> frame_of(const Case& c) {
  return c.frame_known ? std::optional<Pose>(c.patient_from_scans) : std::nullopt;
}

bool alike(const std::optional<Pose>& a, const std::optional<Pose>& b) {
  return a && b ? a->matrix() == b->matrix() : a.has_value() == b.has_value();
}

void set_plan(Case& c, const std::string& name, const std::optional<Plan>& plan) {
  const auto at = std::find_if(c.plans.begin(), c.plans.end(), [&](const Plan& p) { return p.name == name; });
  if (at != c.plans.end() && plan)
    *at = *plan;
  else if (at != c.plans.end())
    c.plans.erase(at);
  else if (plan)
    c.plans.push_back(*plan);
}

void sort_plans(Case& c, const std::vector<std::string>& order) {
  const auto place = [&](const Plan& plan) { return std::find(order.begin(), order.end(), plan.name) - order.begin(); };
  std::stable_sort(c.plans.begin(), c.plans.end(), [&](const Plan& a, const Plan& b) { return place(a) < place(b); });
}

}  // namespace

std::vector<LocalChange> local_changes(const SharedCase& shared, const Case& mine) {
  std::vector<LocalChange> out;
  plan_changes_of(shared, mine, out);
  landmark_changes_of(shared, mine, out);
  const Case& now = shared.now();
  const bool framed = mine.frame_known && (!now.frame_known || frame_value(mine) != frame_value(now));
  if (framed) out.push_back(lone_change(shared, "frame", "rows", frame_value(mine)));
  if (mine.id != now.id && !mine.id.empty()) out.push_back(lone_change(shared, "case", "case_id", mine.id));
  return out;
}

CaseDelta::CaseDelta(const Case& before, const Case& after, const std::set<std::string>& except) {
  std::set<std::string> plans, marks;
  for (const Case* c : {&before, &after}) {
    for (const Plan& plan : c->plans) plans.insert(plan.name);
    for (const auto& [name, landmark] : c->landmarks) marks.insert(name);
  }
  for (const std::string& name : plans) {
    PlanChange change{name, found_in(before, name), found_in(after, name)};
    if (except.count("plan " + name) || alike(change.before, change.after)) continue;
    reordered_ |= change.before.has_value() != change.after.has_value();
    plans_.push_back(std::move(change));
  }
  for (const std::string& name : marks) {
    LandmarkChange change{name, found_in(before.landmarks, name), found_in(after.landmarks, name)};
    if (!except.count("landmark " + name) && !alike(change.before, change.after)) landmarks_.push_back(change);
  }
  for (const Plan& plan : after.plans) order_.push_back(plan.name);
  edited_ = after.landmarks_edited;
  frame_before_ = frame_of(before);
  frame_after_ = frame_of(after);
  frame_changed_ = !except.count("frame ") && !alike(frame_before_, frame_after_);
  if (before.id != after.id && !except.count("case ")) id_ = {before.id, after.id};
}

Case CaseDelta::put_into(const Case& mine, bool always) const {
  Case out = mine;
  for (const PlanChange& change : plans_)
    if (always || alike(found_in(mine, change.name), change.before)) set_plan(out, change.name, change.after);
  if (reordered_) sort_plans(out, order_);
  for (const LandmarkChange& change : landmarks_) {
    if (!always && !alike(found_in(mine.landmarks, change.name), change.before)) continue;
    if (change.after)
      out.landmarks[change.name] = *change.after;
    else
      out.landmarks.erase(change.name);
  }
  out.landmarks_edited = mine.landmarks_edited || edited_;
  if (frame_changed_ && frame_after_ && alike(frame_of(mine), frame_before_)) {
    out.frame_known = true;
    out.patient_from_scans = *frame_after_;
  }
  if (id_ && mine.id == id_->first) out.id = id_->second;
  return out;
}

}  // namespace intercusp
