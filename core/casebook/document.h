#pragma once

#include <string>
#include <vector>

#include "casebook/case.h"

namespace intercusp {

/// A case being worked on, with its readable history. Every change goes through `change`, so that it can be undone.
class Document {
 public:
  Document() = default;
  explicit Document(Case c) : now_(std::move(c)) {}

  const Case& now() const { return now_; }

  /// Replaces the case by `next` and remembers `words` ("Moved the upper jaw 5.0 mm forward"). Consecutive changes with
  /// the same non-empty `merge_key` become one step (a drag, a typed number).
  void change(Case next, std::string words, std::string merge_key = {});
  /// Ends merging: the next change starts a new step.
  void seal() { merge_key_.clear(); }

  /// Carries what came from elsewhere into the case and into every step of its history, so that undoing takes back own
  /// changes alone. No step of its own. O(steps).
  template <class IntoNow, class IntoStep>
  void carry(const IntoNow& into_now, const IntoStep& into_step) {
    now_ = into_now(now_);
    for (Step& step : past_) step.before = into_step(step.before);
    for (Step& step : future_) step.before = into_step(step.before);
    ++revision_;
  }
  /// Shows another state of the case without a step: what somebody else is just dragging.
  void show(Case c) {
    now_ = std::move(c);
    ++revision_;
  }
  /// From here on changes are refused, with these words; empty words end it.
  void refuse_changes(std::string why) { refusal_ = std::move(why); }
  /// The words of the refusal if a change was refused since this was last asked.
  std::string take_refusal();

  bool can_undo() const { return !past_.empty(); }
  bool can_redo() const { return !future_.empty(); }
  void undo();
  void redo();
  /// Words of the steps done, oldest first.
  std::vector<std::string> history() const;
  /// Grows with every change, undo and redo: what is derived from the case is stale when this differs.
  std::uint64_t revision() const { return revision_; }

 private:
  struct Step {
    Case before;
    std::string words;
  };
  Case now_;
  std::vector<Step> past_, future_;
  std::string merge_key_;
  std::string refusal_;
  bool refused_ = false;
  std::uint64_t revision_ = 0;
};

}  // namespace intercusp
