#include "review/fold.h"

#include <algorithm>
#include <set>

#include "base/base64.h"
#include "base/json_read.h"
#include "casebook/case_json.h"
#include "review/entry_fields.h"

namespace intercusp {

using nlohmann::json;

namespace {

std::string who(const ReviewEntry& entry) {
  return entry.name.empty() ? "Somebody" : entry.name;
}

/// Names under which the lines are shown: those of plans all different, whatever people named their plans.
void name_lines(std::vector<SharedThing>& things) {
  std::set<std::string> taken;
  for (const SharedThing& thing : things)
    if (thing.kind == "plan") taken.insert(thing.name);
  for (SharedThing& thing : things) {
    for (std::size_t i = 1; i < thing.lines.size(); ++i) {
      std::size_t number = i + 1;
      std::string name = thing.name + " (" + std::to_string(number) + ")";
      while (thing.kind == "plan" && !taken.insert(name).second)
        name = thing.name + " (" + std::to_string(++number) + ")";
      thing.lines[i].shown_as = name;
    }
  }
}

Remark remark_of(const ReviewEntry& entry) {
  Remark remark;
  remark.id = entry.id;
  remark.author = entry.author;
  remark.name = entry.name;
  remark.role = entry.role;
  remark.time_ms = entry.time_ms;
  remark.text = text_at(entry.fields, "text").value_or("");
  const json& at = *member(entry.fields, "at");
  remark.body = text_at(at, "body").value_or("");
  if (remark.body.empty()) remark.measure = text_at(at, "measure").value_or("");
  if (const json* point = remark.body.empty() ? nullptr : member(at, "point"))
    remark.point = Vec3((*point)[0].get<double>(), (*point)[1].get<double>(), (*point)[2].get<double>());
  if (const json* view = member(entry.fields, "view")) remark.view = *view;
  if (const auto picture = from_base64url(text_at(entry.fields, "picture").value_or("")); picture && !picture->empty())
    remark.picture = std::make_shared<const std::vector<std::uint8_t>>(picture->begin(), picture->end());
  return remark;
}

Agreement agreement_of(const ReviewEntry& entry, std::size_t place) {
  Agreement agreement;
  agreement.id = entry.id;
  agreement.author = entry.author;
  agreement.name = entry.name;
  agreement.role = entry.role;
  agreement.time_ms = entry.time_ms;
  agreement.part = text_at(entry.fields, "part").value_or("");
  agreement.plan = text_at(entry.fields, "plan").value_or("");
  agreement.on = text_at(entry.fields, "on").value_or("");
  agreement.digest = text_at(entry.fields, "digest").value_or("");
  agreement.withdrawn = flag_at(entry.fields, "withdrawn").value_or(false);
  agreement.place = place;
  return agreement;
}

/// What an entry sets a plan to.
json plan_of(const ReviewEntry& entry) {
  const json* entries = member(entry.fields, "entries");
  if (!entries || entries->is_null()) return nullptr;
  const auto plan = plan_from_value(entry.fields, "plan");
  return plan.ok() ? plan_value(plan.value()) : json();
}

json landmark_of(const ReviewEntry& entry) {
  const json* at = member(entry.fields, "at");
  if (!at || at->is_null()) return nullptr;
  json value = {{"at", *at}, {"confirmed", flag_at(entry.fields, "confirmed").value_or(true)}};
  for (const char* key : {"origin", "confidence"})
    if (const json* known = member(entry.fields, key)) value[key] = *known;
  return value;
}

void put_landmark(Case& c, const SharedThing& thing) {
  const json& value = thing.lines.front().value;
  if (value.is_null()) {
    c.landmarks.erase(thing.name);
    return;
  }
  const auto landmark = landmark_from_value(value, thing.name);
  if (landmark.ok()) c.landmarks[thing.name] = landmark.value();
}

void put_plans(Case& c, const SharedThing& thing) {
  for (const ThingLine& line : thing.lines) {
    if (line.value.is_null()) continue;
    auto plan = plan_from_value(line.value, line.shown_as);
    if (plan.ok()) c.plans.push_back(std::move(plan).value());
  }
}

void put_frame(Case& c, const SharedThing& thing) {
  const auto pose = frame_from_value(thing.lines.front().value);
  if (!pose.ok()) return;
  c.patient_from_scans = pose.value();
  c.frame_known = true;
}

}  // namespace

const SharedThing* ReviewFold::find(const std::string& kind, const std::string& name) const {
  const auto at = index.find(kind + " " + name);
  return at == index.end() ? nullptr : &things[at->second];
}

SharedThing& ReviewFold::thing_of(const std::string& kind, const std::string& name, json first) {
  const auto [at, fresh] = index.emplace(kind + " " + name, things.size());
  if (fresh) things.push_back(SharedThing::begun(kind, name, std::move(first)));
  return things[at->second];
}

void ReviewFold::begin(const ReviewEntry& entry) {
  if (begun) {
    findings.push_back({entry.id, who(entry) + " began the case a second time: that was left out."});
    return;
  }
  begun = true;
  stored_bodies = *member(entry.fields, "bodies");
  const Status read = case_from_json(*member(entry.fields, "case"), base);
  if (!read.ok()) findings.push_back({entry.id, read.error().sentence()});
  for (const Plan& plan : base.plans) thing_of("plan", plan.name, plan_value(plan));
  for (const auto& [name, landmark] : base.landmarks) thing_of("landmark", name, landmark_value(landmark));
  if (base.frame_known) thing_of("frame", "", frame_value(base));
  thing_of("case", "", base.id);
}

void ReviewFold::change_thing(const ReviewEntry& entry, const std::string& kind, const std::string& name, json value) {
  const std::string on = text_at(entry.fields, "on").value_or("");
  SharedThing& thing = thing_of(kind, name);
  if (!on.empty() && !thing.find(on))
    findings.push_back({entry.id, who(entry) + " changed a version of " + kind + " " + name +
                                      " that has not arrived: it is shown as an alternative."});
  thing.add(entry, on, std::move(value));
}

void ReviewFold::answer(const ReviewEntry& entry) {
  const std::string to = text_at(entry.fields, "to").value_or("");
  const auto remark = std::find_if(remarks.begin(), remarks.end(), [&](const Remark& r) { return r.id == to; });
  if (remark == remarks.end()) {
    findings.push_back({entry.id, who(entry) + " answered a remark that has not arrived."});
  } else if (entry.action == "reply") {
    remark->replies.push_back(
        {entry.id, entry.author, entry.name, entry.role, text_at(entry.fields, "text").value_or(""), entry.time_ms});
  } else {
    remark->resolved = flag_at(entry.fields, "resolved").value_or(false);
    remark->resolved_by = who(entry);
  }
}

void ReviewFold::apply(const ReviewEntry& entry, std::size_t place) {
  if (!change.empty() && entry.change != change) {
    findings.push_back({entry.id, "An entry under the name " + who(entry) +
                                      " carries another change key than the case: it does not count."});
    return;
  }
  const std::string& action = entry.action;
  const auto text = [&](const char* key) { return text_at(entry.fields, key).value_or(""); };
  if (action == "begin") return begin(entry);
  if (action == "plan") return change_thing(entry, action, text("plan"), plan_of(entry));
  if (action == "landmark") return change_thing(entry, action, text("landmark"), landmark_of(entry));
  if (action == "frame") return change_thing(entry, action, "", *member(entry.fields, "rows"));
  if (action == "case") return change_thing(entry, action, "", text("case_id"));
  if (action == "remark") {
    remarks.push_back(remark_of(entry));
  } else if (action == "agree") {
    agreements.push_back(agreement_of(entry, place));
  } else if (action == "reply" || action == "resolve") {
    answer(entry);
  } else {
    findings.push_back({entry.id, who(entry) + " did something that this version does not know: " + action +
                                      ". Open the case with a newer version."});
  }
}

void ReviewFold::finish() {
  name_lines(things);
  std::vector<Body> bodies = std::move(now.bodies);
  now = base;
  now.bodies = std::move(bodies);
  now.plans.clear();
  for (const SharedThing& thing : things) {
    if (thing.kind == "plan") put_plans(now, thing);
    if (thing.versions.empty()) continue;
    if (thing.kind == "landmark") {
      put_landmark(now, thing);
      now.landmarks_edited = true;
    }
    if (thing.kind == "frame") put_frame(now, thing);
    if (thing.kind == "case") now.id = thing.lines.front().value.get<std::string>();
  }
}

}  // namespace intercusp
