// Commands on the cuts of a plan.
#include <algorithm>
#include <cmath>

#include "app/scene/plan_edit.h"
#include "app/view/layout.h"
#include "app/work/command_table.h"
#include "base/json_read.h"

namespace intercusp {

namespace {

Result<CutKind> asked_cut(const Json& args) {
  const std::string name = text_at(args, "kind").value_or("");
  if (const auto kind = cut_kind_of(name)) return *kind;
  return Error{"\"" + name + "\" is not a kind of cut", "", "use lefort1, split_right, split_left, chin or pieces"};
}

// The plan worked on, made when there is none yet.
Plan& plan_in(Workspace& w, Case& c) {
  if (w.plan.empty() || !c.find_plan(w.plan)) {
    w.plan = next_plan_name(c);
    c.plans.push_back({w.plan, {}, "upper"});
  }
  return *c.find_plan(w.plan);
}

Osteotomy* find_cut(Plan& plan, CutKind kind) {
  for (PlanEntry& e : plan.entries)
    if (e.kind == PlanEntry::Kind::cut && e.cut.kind == kind) return &e.cut;
  return nullptr;
}

Result<std::map<std::string, double>> settings_at(const Json& args) {
  std::map<std::string, double> out;
  const auto given = args.find("settings");
  if (given == args.end()) return out;
  if (!given->is_object()) return Error{"settings are given as {\"KEY\": NUMBER}", "cut", ""};
  for (const auto& [key, value] : given->items()) {
    if (!value.is_number()) return Error{"the setting " + key + " is not a number", "cut", ""};
    out[key] = value.get<double>();
  }
  return out;
}

// A fresh cut goes before the movements of the pieces it makes: to the end of the plan.
Result<Json> make_cut(Workspace& w, const Json& args) {
  const auto kind = asked_cut(args);
  if (!kind) return kind.error();
  auto given = settings_at(args);
  if (!given) return given.error();
  Case next = w.now();
  Plan& plan = plan_in(w, next);
  Osteotomy* there = find_cut(plan, kind.value());
  if (there)
    for (const auto& [key, value] : there->settings) given.value().try_emplace(key, value);
  auto made = make_osteotomy(kind.value(), given.value());
  if (!made) return made.error();
  if (there) {
    *there = made.value();  // while it is dragged, what it comes near is worked out with its line
  } else {
    if (const auto placed = place_cut(next, made.value()); !placed) return placed.error();
    plan.entries.push_back(cut_entry(made.value()));
    see_bone(w);
  }
  const std::string merge = text_at(args, "merge").value_or("");
  const std::string words = (there ? "Moved " : "Laid ") + cut_words(kind.value());
  w.document.change(std::move(next), words, merge.empty() ? "" : "cut." + cut_kind_name(kind.value()) + "." + merge);
  w.held = Moment::planned;
  w.chosen_cut = kind.value();
  return Json{{"plan", w.plan}, {"cut", cut_kind_name(kind.value())}};
}

Result<Json> take_away(Workspace& w, const Json& args) {
  const auto kind = asked_cut(args);
  if (!kind) return kind.error();
  Case next = w.now();
  Plan* plan = next.find_plan(w.plan);
  if (!plan || !find_cut(*plan, kind.value()))
    return Error{"this plan does not make " + cut_words(kind.value()), "", ""};
  const std::size_t before = plan->entries.size();
  take_cut_away(*plan, kind.value());
  const std::size_t more = before - plan->entries.size() - 1;
  w.document.change(std::move(next), "Took away " + cut_words(kind.value()));
  if (more > 0)
    w.say({Message::Kind::note, "Took away " + cut_words(kind.value()), "what its pieces did went with it",
           "undo brings it back", 0});
  return nothing();
}

Result<Json> choose(Workspace& w, const Json& args) {
  const auto kind = asked_cut(args);
  if (!kind) return kind.error();
  w.chosen_cut = kind.value();
  return nothing();
}

Result<Json> saw_again(Workspace& w, const Json&) {
  w.pieces.saw_again();
  return nothing();
}

}  // namespace

void add_cut_commands(std::map<std::string, Command>& t) {
  t["cut"] = {make_cut};
  t["take_cut_away"] = {take_away};
  t["choose_cut"] = {choose};
  t["saw_again"] = {saw_again};
}

}  // namespace intercusp
