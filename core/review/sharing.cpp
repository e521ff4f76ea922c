#include "review/sharing.h"

#include "review/entry_fields.h"

namespace intercusp {

namespace {

/// `mine` with everything that can be shared as it is in `after`.
Case as_shared(const Case& mine, const Case& after) {
  Case out = mine;
  out.plans = after.plans;
  out.landmarks = after.landmarks;
  out.landmarks_edited = after.landmarks_edited;
  out.frame_known = after.frame_known;
  out.patient_from_scans = after.patient_from_scans;
  out.id = after.id;
  return out;
}

std::string kind_of_key(const std::string& key) {
  return key.substr(0, key.find(' '));
}
std::string name_of_key(const std::string& key) {
  return key.substr(key.find(' ') + 1);
}

/// Alternatives there are, to see whether some came to be.
std::size_t alternatives(const SharedCase& shared) {
  std::size_t n = 0;
  for (const SharedThing& thing : shared.things()) n += thing.lines.size() - 1;
  return n;
}

std::string newest_alternative(const SharedCase& shared) {
  std::string words;
  std::uint64_t latest = 0;
  for (const SharedThing& thing : shared.things()) {
    for (std::size_t i = 1; i < thing.lines.size(); ++i) {
      const ThingVersion& tip = thing.versions[thing.lines[i].tip_index];
      if (tip.clock < latest) continue;
      latest = tip.clock;
      const std::string by = tip.name.empty() ? "Somebody" : tip.name;
      words = thing.kind == "plan"
                  ? "Plan " + thing.name + " was changed by two at once: what " + by + " made stands beside it as " +
                        thing.lines[i].shown_as
                  : "The " + thing.kind + " " + thing.name + " was changed by two at once: look at both and decide";
    }
  }
  return words;
}

}  // namespace

Case Sharing::without_previews(const Case& c) const {
  if (previews_.empty()) return c;
  Case out = c;
  for (const auto& [name, shown] : previews_) {
    Plan* plan = out.find_plan(name);
    const Plan* real = shared_.now().find_plan(name);
    if (plan && real && same_steps(*plan, shown)) *plan = *real;
  }
  return out;
}

void Sharing::end_previews(Document& document) {
  if (previews_.empty()) return;
  document.show(without_previews(document.now()));
  previews_.clear();
}

void Sharing::preview(Document& document, const std::string& shown_as, const Plan* plan) {
  watch(document);
  const auto changed = made_on_.find("plan " + shown_as);
  if (changed != made_on_.end()) return;  // one's own hand comes first
  Case next = without_previews(document.now());
  previews_.erase(shown_as);
  Plan* target = next.find_plan(shown_as);
  if (plan && target) {
    *target = *plan;
    target->name = shown_as;
    previews_[shown_as] = *target;
  }
  document.show(std::move(next));
}

void Sharing::watch(const Document& document) {
  std::map<std::string, std::string> now;
  for (const LocalChange& change : local_changes(shared_, without_previews(document.now()))) {
    const auto known = made_on_.find(change.key);
    now[change.key] = known != made_on_.end() ? known->second : change.fields["on"].get<std::string>();
  }
  made_on_ = std::move(now);
}

void Sharing::follow(std::string& plan, const std::string& thing_name, const std::string& version) const {
  const SharedThing* thing = shared_.find_thing("plan", thing_name);
  if (!thing) return;
  const ThingVersion* found = version.empty() ? nullptr : thing->find(version);
  const ThingLine& line = thing->lines[found ? found->line : 0];
  if (!line.value.is_null()) plan = line.shown_as;
}

Sharing::News Sharing::take(Document* document, const std::vector<std::string>& bodies, std::string& plan) {
  News news;
  if (document) {
    watch(*document);
    end_previews(*document);
  }
  const auto [thing, line] = shared_.shown_plan(plan);
  const std::string thing_name = thing ? thing->name : "", tip = thing ? thing->lines[line].tip : "";
  const Case before = shared_.now();
  const std::size_t had = alternatives(shared_);
  bool added = false;
  for (const std::string& body : bodies) {
    const auto taken = shared_.take(body);
    if (!taken.ok()) news.refused.push_back(taken.error());
    added |= taken.ok() && taken.value() == SharedCase::Taken::added;
  }
  if (!added || !document) return news;
  const CaseDelta delta(before, shared_.now());
  document->carry([&](const Case& now) { return delta.into(now); },
                  [&](const Case& step) { return delta.into_step(step); });
  if (!thing_name.empty() && !made_on_.count("plan " + plan)) follow(plan, thing_name, tip);
  if (alternatives(shared_) > had) news.words.push_back(newest_alternative(shared_));
  return news;
}

std::set<std::string> Sharing::took_effect(const std::vector<LocalChange>& changes, const Case& mine) const {
  const Case& after = shared_.now();
  std::set<std::string> keys;
  for (const LocalChange& change : changes) {
    const std::string name = name_of_key(change.key);
    if (kind_of_key(change.key) == "plan") {
      const Plan *own = mine.find_plan(name), *now = after.find_plan(name);
      if (own && now ? same_steps(*own, *now) : own == now) keys.insert(change.key);
    } else {
      keys.insert(change.key);
    }
  }
  return keys;
}

Sharing::News Sharing::publish(Document& document, const Stamp& stamp, std::string& plan) {
  News news;
  watch(document);
  if (made_on_.empty()) return news;
  end_previews(document);
  const Case before = shared_.now(), mine = document.now();
  const std::size_t had = alternatives(shared_);
  const std::vector<LocalChange> changes = local_changes(shared_, mine);
  std::string plan_thing, plan_version;
  for (const LocalChange& change : changes) {
    nlohmann::json fields = change.fields;
    const auto on = made_on_.find(change.key);
    if (on != made_on_.end()) fields["on"] = on->second;
    const EntryStamp made = stamp();
    const std::string body = shared_.write(made, fields);
    const auto taken = shared_.take(body);
    if (!taken.ok()) {
      news.refused.push_back(taken.error());
      continue;
    }
    if (change.key == "plan " + plan) {
      plan_thing = fields["plan"].get<std::string>();
      plan_version = made.id;
    }
    news.bodies.push_back(body);
  }
  const Case& after = shared_.now();
  const CaseDelta delta(before, after, took_effect(changes, mine));
  document.carry([&](const Case& now) { return as_shared(now, after); },
                 [&](const Case& step) { return delta.into_step(step); });
  made_on_.clear();
  if (!plan_thing.empty()) follow(plan, plan_thing, plan_version);
  if (alternatives(shared_) > had) news.words.push_back(newest_alternative(shared_));
  return news;
}

Result<std::string> Sharing::write(const Stamp& stamp, nlohmann::json fields) {
  std::string body = shared_.write(stamp(), std::move(fields));
  const auto taken = shared_.take(body);
  if (!taken.ok()) return taken.error();
  return body;
}

}  // namespace intercusp
