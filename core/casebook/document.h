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
  std::uint64_t revision_ = 0;
};

}  // namespace intercusp
