#include "review/shared_case.h"

#include <algorithm>

#include "base/json_read.h"
#include "casebook/case_json.h"
#include "review/order_findings.h"

namespace intercusp {

using nlohmann::json;

namespace {

json lines_to_json(const SharedThing& thing) {
  json lines = json::array(), versions = json::array();
  for (const ThingLine& line : thing.lines)
    lines.push_back({{"shown_as", line.shown_as}, {"tip", line.tip}, {"value", line.value}});
  for (const ThingVersion& v : thing.versions)
    versions.push_back({{"id", v.id}, {"on", v.on}, {"line", v.line}, {"value", v.value}});
  return {{"kind", thing.kind}, {"name", thing.name}, {"lines", std::move(lines)}, {"versions", std::move(versions)}};
}

json remark_to_json(const Remark& r) {
  json replies = json::array();
  for (const RemarkReply& reply : r.replies) replies.push_back({{"id", reply.id}, {"text", reply.text}});
  return {{"id", r.id},
          {"author", r.author},
          {"text", r.text},
          {"at", {r.body, r.measure, r.point.x(), r.point.y(), r.point.z()}},
          {"resolved", r.resolved},
          {"replies", std::move(replies)}};
}

json agreement_to_json(const Agreement& a) {
  return {{"id", a.id},         {"author", a.author},       {"part", a.part}, {"plan", a.plan},
          {"digest", a.digest}, {"withdrawn", a.withdrawn}, {"on", a.on},     {"place", a.place}};
}

}  // namespace

Result<SharedCase::Taken> SharedCase::take(const std::string& body) {
  auto parsed = parse_entry(body);
  if (!parsed.ok()) return parsed.error();
  ReviewEntry entry = std::move(parsed).value();
  if (!known_.emplace(entry.sha256, entry.id).second) return Taken::known;
  const auto at = std::upper_bound(entries_.begin(), entries_.end(), entry, merges_before);
  const auto place = static_cast<std::size_t>(at - entries_.begin());
  if (place < folded_ || entry.action == "begin") afresh_ = true;
  entries_.insert(at, std::move(entry));
  ++revision_;
  return Taken::added;
}

const ReviewFold& SharedCase::fold() const {
  if (!afresh_ && folded_ == entries_.size()) return fold_;
  if (afresh_) {
    fold_ = ReviewFold{};
    folded_ = 0;
    fold_.now.bodies = bodies_;
    fold_.change = given_change_;
    const auto first =
        std::find_if(entries_.begin(), entries_.end(), [](const ReviewEntry& e) { return e.action == "begin"; });
    if (fold_.change.empty() && first != entries_.end()) fold_.change = first->change;
    afresh_ = false;
  }
  for (; folded_ < entries_.size(); ++folded_) fold_.apply(entries_[folded_], folded_);
  fold_.finish();
  return fold_;
}

void SharedCase::set_bodies(std::vector<Body> bodies) {
  bodies_ = std::move(bodies);
  fold_.now.bodies = bodies_;
  ++revision_;
}

bool SharedCase::begun() const {
  return fold().begun;
}
std::string SharedCase::change() const {
  return fold().change;
}
json SharedCase::stored_bodies() const {
  return fold().stored_bodies;
}
const Case& SharedCase::now() const {
  return fold().now;
}
const std::vector<SharedThing>& SharedCase::things() const {
  return fold().things;
}
const SharedThing* SharedCase::find_thing(const std::string& kind, const std::string& name) const {
  return fold().find(kind, name);
}
const std::vector<Remark>& SharedCase::remarks() const {
  return fold().remarks;
}
const std::vector<Agreement>& SharedCase::agreements() const {
  return fold().agreements;
}

std::pair<const SharedThing*, std::size_t> SharedCase::shown_plan(const std::string& shown_as) const {
  for (const SharedThing& thing : things()) {
    if (thing.kind != "plan") continue;
    for (std::size_t i = 0; i < thing.lines.size(); ++i)
      if (thing.lines[i].shown_as == shown_as) return {&thing, i};
  }
  return {nullptr, 0};
}

std::vector<ReviewFinding> SharedCase::findings() const {
  std::vector<ReviewFinding> all = order_findings(entries_);
  const auto& others = fold().findings;
  all.insert(all.end(), others.begin(), others.end());
  return all;
}

std::string SharedCase::write(const EntryStamp& stamp, json fields) const {
  const ReviewEntry* last = nullptr;
  std::uint64_t clock = 0;
  json seen = json::object();
  for (const ReviewEntry& entry : entries_) {
    clock = std::max(clock, entry.clock);
    const auto known = seen.find(entry.author);
    if (known == seen.end() || known->get<std::uint64_t>() < entry.count) seen[entry.author] = entry.count;
    if (entry.author == stamp.author && (!last || entry.count >= last->count)) last = &entry;
  }
  fields["id"] = stamp.id;
  fields["author"] = stamp.author;
  if (!fields.contains("change")) fields["change"] = change();
  fields["name"] = stamp.name;
  fields["role"] = stamp.role;
  fields["count"] = last ? last->count + 1 : 1;
  fields["before"] = last ? last->sha256 : "";
  fields["clock"] = clock + 1;
  fields["seen"] = std::move(seen);
  fields["time"] = stamp.time_ms;
  return canonical_text(fields);
}

std::string SharedCase::canonical() const {
  json bodies = json::array(), shared = json::array(), notes = json::array(), agreed = json::array(),
       remarked = json::array(), order = json::array();
  for (const Body& body : bodies_) bodies.push_back({{"name", body.name}, {"mesh", body.mesh_sha256}});
  for (const SharedThing& thing : things()) shared.push_back(lines_to_json(thing));
  for (const Remark& remark : remarks()) remarked.push_back(remark_to_json(remark));
  for (const Agreement& agreement : agreements()) agreed.push_back(agreement_to_json(agreement));
  for (const ReviewFinding& finding : findings()) notes.push_back(finding.words);
  for (const ReviewEntry& entry : entries_) order.push_back(entry.sha256);
  return canonical_text({{"case", case_to_json(now())},
                         {"bodies", std::move(bodies)},
                         {"things", std::move(shared)},
                         {"remarks", std::move(remarked)},
                         {"agreements", std::move(agreed)},
                         {"findings", std::move(notes)},
                         {"entries", std::move(order)}});
}

}  // namespace intercusp
