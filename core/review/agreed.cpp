#include "review/agreed.h"

#include <algorithm>
#include <ctime>
#include <map>

#include "base/base64.h"
#include "base/fingerprint.h"
#include "casebook/digest.h"
#include "casebook/sheet.h"
#include "review/entry_fields.h"
#include "surgery/movement_note.h"

namespace intercusp {

namespace {

constexpr std::size_t kMostChanges = 12;

/// The last word of each person on each part of one line of a plan, withdrawn ones left out.
std::vector<Agreement> last_words(const SharedCase& shared, const SharedThing& thing, std::size_t line) {
  std::map<std::pair<std::string, std::string>, Agreement> last;
  for (const Agreement& a : shared.agreements()) {
    if (a.plan != thing.name) continue;
    const ThingVersion* on = a.on.empty() ? nullptr : thing.find(a.on);
    if (!a.on.empty() && !on) continue;
    if ((on ? on->line : 0) == line) last[{a.author, a.part}] = a;
  }
  std::vector<Agreement> out;
  for (const auto& [key, a] : last)
    if (!a.withdrawn) out.push_back(a);
  std::sort(out.begin(), out.end(), [](const Agreement& a, const Agreement& b) { return a.place < b.place; });
  return out;
}

Plan plan_or_empty(const nlohmann::json& value) {
  const auto plan = plan_from_value(value, "plan");
  return plan.ok() ? plan.value() : Plan{};
}

/// Landmarks and the frame, as far as they were changed after a place in the merged order.
void add_moved_landmarks(const SharedCase& shared, std::size_t place, std::vector<std::string>& out) {
  const ReviewEntry& agreed = shared.entries()[place];
  std::map<std::string, std::string> moved;
  for (std::size_t i = place + 1; i < shared.entries().size(); ++i) {
    const ReviewEntry& e = shared.entries()[i];
    if (e.change != agreed.change) continue;
    const std::string by = e.name.empty() ? "somebody" : e.name;
    if (e.action == "landmark") moved["Landmark " + e.fields.value("landmark", "")] = by;
    if (e.action == "frame") moved["The patient frame"] = by;
  }
  for (const auto& [what, by] : moved) out.push_back(what + " was changed by " + by + ".");
}

std::vector<std::string> changes_since(const SharedCase& shared, const SharedThing& thing, std::size_t line,
                                       const Agreement& a) {
  std::vector<std::string> out =
      plan_changes(plan_or_empty(thing.value_of(a.on)), plan_or_empty(thing.lines[line].value));
  add_moved_landmarks(shared, a.place, out);
  if (out.empty()) out.push_back("What was agreed to is not the plan as it stands here.");
  if (out.size() > kMostChanges) {
    const std::size_t more = out.size() - kMostChanges;
    out.resize(kMostChanges);
    out.push_back("and " + std::to_string(more) + " more.");
  }
  return out;
}

std::string entry_change(const PlanEntry& before, const PlanEntry& after) {
  const bool movements = before.kind == PlanEntry::Kind::movement && after.kind == before.kind;
  if (movements && before.segment == after.segment && before.about == after.about) {
    return sheet_segment_words(after.segment) + ": was " + movement_words(before.movement) + ", is " +
           movement_words(after.movement) + ".";
  }
  const bool same_cut =
      before.kind == PlanEntry::Kind::cut && after.kind == before.kind && before.cut.kind == after.cut.kind;
  if (same_cut) return "Changed: the settings of " + cut_words(after.cut.kind) + ".";
  return "Was: " + plan_entry_words(before) + "; is: " + plan_entry_words(after) + ".";
}

std::string part_line(const char* part, const std::vector<StandingAgreement>& all) {
  std::string words;
  for (const StandingAgreement& s : all) {
    const Agreement& a = s.agreement;
    if (a.part != part) continue;
    if (!words.empty()) words += "; ";
    words += s.current ? "agreed by " : "outdated, was agreed by ";
    words += (a.name.empty() ? "somebody" : a.name) + (a.role.empty() ? "" : ", " + a.role) + " (key " +
             key_fingerprint(a.author).substr(0, 9) + "), " + moment_words(a.time_ms).substr(0, 10) + ", on digest " +
             a.digest.substr(0, 12);
  }
  return std::string(part) + ": " + (words.empty() ? "not agreed" : words);
}

}  // namespace

std::vector<StandingAgreement> agreements_on(const SharedCase& shared, const std::string& shown_as) {
  const auto [thing, line] = shared.shown_plan(shown_as);
  const Plan* plan = shared.now().find_plan(shown_as);
  if (!thing || !plan) return {};
  std::vector<StandingAgreement> out;
  std::string digest;
  for (Agreement& a : last_words(shared, *thing, line)) {
    if (digest.empty()) digest = plan_digest(shared.now(), *plan);
    StandingAgreement standing;
    standing.current = a.digest == digest;
    if (!standing.current) standing.changes = changes_since(shared, *thing, line, a);
    standing.agreement = std::move(a);
    out.push_back(std::move(standing));
  }
  return out;
}

std::vector<std::string> plan_changes(const Plan& before, const Plan& after) {
  std::vector<std::string> out;
  const std::size_t most = std::max(before.entries.size(), after.entries.size());
  for (std::size_t i = 0; i < most; ++i) {
    const PlanEntry* a = i < before.entries.size() ? &before.entries[i] : nullptr;
    const PlanEntry* b = i < after.entries.size() ? &after.entries[i] : nullptr;
    if (a && b && *a == *b) continue;
    if (a && b)
      out.push_back(entry_change(*a, *b));
    else
      out.push_back((a ? "Taken away: " : "New: ") + plan_entry_words(a ? *a : *b) + ".");
  }
  if (before.first_jaw != after.first_jaw) out.push_back("Staging: the " + after.first_jaw + " jaw now moves first.");
  return out;
}

std::string plan_entry_words(const PlanEntry& entry) {
  if (entry.kind == PlanEntry::Kind::cut) return cut_words(entry.cut.kind);
  if (entry.kind == PlanEntry::Kind::closing) return "the lower jaw turned about the hinge axis";
  return sheet_segment_words(entry.segment) + " " + movement_words(entry.movement);
}

std::vector<std::string> agreement_lines(const SharedCase& shared, const std::string& shown_as) {
  const auto all = agreements_on(shared, shown_as);
  return {part_line("occlusion", all), part_line("movement", all)};
}

std::string key_fingerprint(const std::string& author) {
  const auto bytes = from_base64url(author);
  return bytes && bytes->size() == 32 ? fingerprint_of(*bytes) : "";
}

std::string moment_words(std::int64_t ms) {
  const std::time_t seconds = static_cast<std::time_t>(ms / 1000);
  std::tm parts{};
  char text[40];
  if (!gmtime_r(&seconds, &parts) || std::strftime(text, sizeof text, "%Y-%m-%d %H:%M", &parts) == 0) return {};
  return text;
}

}  // namespace intercusp
