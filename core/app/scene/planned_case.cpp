#include "app/scene/planned_case.h"

#include <utility>

namespace intercusp {

namespace {

constexpr const char* kWords = "Sawing the bone";

// What a plan does not change about the pieces, from the case as it is now.
Case renewed(const Case& now, const Case& pieces) {
  Case c = now;
  c.bodies = pieces.bodies;
  c.cut_landmarks = pieces.cut_landmarks;
  c.cut_sawings = pieces.cut_sawings;
  return c;
}

}  // namespace

PlannedCase::Basis PlannedCase::basis_of(const Case& c, const Plan& plan) {
  Basis b;
  for (const Body& body : c.bodies) b.surfaces.push_back(body.surface);
  for (const auto& [name, mark] : c.landmarks) b.points.emplace_back(name, mark.at);
  for (const PlanEntry& entry : plan.entries)
    if (entry.kind == PlanEntry::Kind::cut) b.cuts.emplace_back(entry.cut.kind, entry.cut.settings);
  b.frame = c.patient_from_scans.matrix();
  return b;
}

void PlannedCase::forget() {
  const std::uint64_t version = version_ + 1, age = age_ + 1;
  *this = PlannedCase();
  version_ = version;
  age_ = age;
}

void PlannedCase::settle(std::optional<Case> cut, std::string trouble) {
  if (cut || cut_) ++version_;
  cut_ = std::move(cut);
  trouble_ = std::move(trouble);
}

void PlannedCase::assemble(const Case& c, const Plan& plan) {
  auto made = with_cuts_sawn(c, &plan, cache_);
  waiting_ = !made;
  if (made && made->ok())
    settle(std::move(*made).value(), "");
  else
    settle(std::nullopt, made ? made->error().sentence() : "");
}

void PlannedCase::ask(ErrandDesk& desk, const Case& c, const Plan& plan, const KeepNotes& keep) {
  asked_ = basis_;
  std::vector<std::string> known;
  for (const auto& [key, sawn] : cache_.pieces()) known.push_back(key);
  const auto use = [this, keep, age = age_](ErrandAnswer& answer) -> Status {
    if (age != age_) return Done{};
    seen_ = {};
    if (const auto* error = std::get_if<Error>(&answer)) {
      if (basis_ != asked_) return Done{};  // of cuts that have changed since
      waiting_ = false;
      settle(std::nullopt, error->sentence());
      return Done{};
    }
    auto* made = std::get_if<CutsMade>(&answer);
    if (!made) return Done{};
    for (SawnPiece& piece : made->pieces) {
      keep(piece.sawn.positive.surface, std::move(piece.positive_notes));
      keep(piece.sawn.negative.surface, std::move(piece.negative_notes));
      cache_.learn(piece.key, std::move(piece.sawn));
    }
    basis_.reset();  // the next look puts the pieces together
    return Done{};
  };
  (void)desk.go(MakeCuts{c, plan.name, std::move(known)}, kWords, use).ok();
}

void PlannedCase::forget_cuts() {
  waiting_ = stopped_ = false;
  settle(std::nullopt, "");
  basis_.reset();
  asked_.reset();
}

void PlannedCase::refresh(ErrandDesk& desk, const Document& document, const Plan* plan, bool dragging,
                          const KeepNotes& keep) {
  const Seen wanted{document.revision(), plan ? plan->name : ""};
  const bool asking = desk.awaits(kWords), ask_now = waiting_ && !asking && !stopped_ && !dragging;
  if (wanted == seen_ && !ask_now) return;
  const Case& c = document.now();
  if (!has_cuts(plan)) {
    forget_cuts();
    seen_ = wanted;
    return;
  }
  Basis basis = basis_of(c, *plan);
  const bool same = basis_ && basis == *basis_;
  if (!same && dragging) {  // the cut is on its way: its line shows where
    waiting_ = true;
    settle(std::nullopt, "");
    seen_ = {};
    basis_.reset();
    return;
  }
  if (!same) {
    basis_ = std::move(basis);
    stopped_ = false;
    assemble(c, *plan);
  } else if (cut_ && !(wanted == seen_)) {
    cut_ = renewed(c, *cut_);
  }
  seen_ = wanted;
  if (!waiting_ || asking || stopped_ || dragging) return;
  stopped_ = asked_ && *asked_ == *basis_;  // asked for before and never answered: someone stopped it
  if (stopped_) return;
  ask(desk, c, *plan, keep);
  if (!desk.awaits(kWords)) refresh(desk, document, plan, dragging, keep);  // answered at once
}

}  // namespace intercusp
