#include "app/scene/plan_edit.h"

#include <algorithm>

namespace intercusp {

namespace {

// Index of the segment's last entry; the number of entries when it has none.
std::size_t last_entry(const Plan& plan, const std::string& segment) {
  for (std::size_t i = plan.entries.size(); i-- > 0;)
    if (plan.entries[i].segment == segment) return i;
  return plan.entries.size();
}

}  // namespace

std::string next_plan_name(const Case& c) {
  for (char letter = 'A'; letter <= 'Z'; ++letter)
    if (!c.find_plan(std::string(1, letter))) return std::string(1, letter);
  int n = 27;
  while (c.find_plan("Plan " + std::to_string(n))) ++n;
  return "Plan " + std::to_string(n);
}

Result<EditedMovement> edited_movement(const Case& c, const std::string& plan_name, const std::string& segment) {
  const Status may = can_move(c, segment);
  if (!may) return may.error();
  EditedMovement e;
  const Plan* plan = c.find_plan(plan_name);
  Plan before = plan ? *plan : Plan{};
  if (plan) {
    const std::size_t at = last_entry(*plan, segment);
    e.exists = at < plan->entries.size();
    if (e.exists) {
      e.movement = plan->entries[at].movement;
      e.about = plan->entries[at].about;
    }
    before.entries.resize(at);
    for (const PlanEntry& entry : before.entries) e.earlier += entry.segment == segment;
  }
  auto poses = segment_poses(c, &before, Moment::planned);
  if (!poses) return poses.error();
  e.before = std::move(poses.value());
  const auto pivot = pivot_point(c, segment, e.about, e.before);
  if (!pivot) return pivot.error();
  e.pivot = pivot.value();
  return e;
}

Result<Case> with_movement(const Case& c, const Case& pieces, std::string& plan_name, const std::string& segment,
                           const Movement& movement, const std::string& about) {
  const Status may = can_move(pieces, segment);
  if (!may) return may.error();
  Case next = c;
  if (plan_name.empty() || !next.find_plan(plan_name)) {
    if (plan_name.empty()) plan_name = next_plan_name(c);
    next.plans.push_back({plan_name, {}, "upper"});
  }
  Plan* plan = next.find_plan(plan_name);
  const std::size_t at = last_entry(*plan, segment);
  if (at == plan->entries.size()) plan->entries.push_back({segment, movement, about});
  plan->entries[at].movement = movement;
  plan->entries[at].about = about;
  const auto poses = segment_poses(pieces, plan, Moment::planned);
  if (!poses) return poses.error();
  return next;
}

void take_cut_away(Plan& plan, CutKind kind) {
  const auto remove = [&](const auto& what) {
    plan.entries.erase(std::remove_if(plan.entries.begin(), plan.entries.end(), what), plan.entries.end());
  };
  const auto is_cut = [](const PlanEntry& e, CutKind k) { return e.kind == PlanEntry::Kind::cut && e.cut.kind == k; };
  const bool lefort = kind == CutKind::lefort1;
  remove([&](const PlanEntry& e) { return is_cut(e, kind) || (lefort && is_cut(e, CutKind::pieces)); });
  const auto cuts = [&](CutKind k) {
    return std::any_of(plan.entries.begin(), plan.entries.end(), [&](const PlanEntry& e) { return is_cut(e, k); });
  };
  const bool freed = !lefort, parted = cuts(CutKind::pieces);
  const bool right = cuts(CutKind::split_right), left = cuts(CutKind::split_left), chin = cuts(CutKind::chin);
  remove([&](const PlanEntry& e) {
    if (e.kind != PlanEntry::Kind::movement) return false;
    const std::string& s = e.segment;
    return (!freed && is_upper_name(s)) || (!parted && s.rfind("maxilla_", 0) == 0) || (!right && s == "ramus_right") ||
           (!left && s == "ramus_left") || (!chin && s == "chin") || (!right && !left && !chin && s == "mandible");
  });
}

}  // namespace intercusp
