// From what a person did to the case on the screen to entries, and back: every command works unchanged while a case is
// shared, undo and redo included.
#pragma once

#include <optional>
#include <set>
#include <string>
#include <vector>

#include "review/shared_case.h"

namespace intercusp {

/// Something of the case that differs from the shared one.
struct LocalChange {
  std::string key;        ///< kind, space, name under which it is shown
  nlohmann::json fields;  ///< of an entry, made on the version that is shown now
};

/// What `mine` has that the shared case has not: plans, landmarks, the frame, the case id. Numbers are compared as they
/// stand. O(plans + landmarks).
std::vector<LocalChange> local_changes(const SharedCase& shared, const Case& mine);

/// What changed from one state of the shared case to the next, to be carried into others.
class CaseDelta {
 public:
  /// Without what `except` names (keys as in LocalChange). O(plans + landmarks).
  CaseDelta(const Case& before, const Case& after, const std::set<std::string>& except = {});
  /// `mine` with the change in it, but for what `mine` itself has otherwise than it was before. O(changes), and
  /// O(plans) where plans came or went: they come in the order of the state after.
  Case into(const Case& mine) const { return put_into(mine, false); }
  /// A step of the history with the change in it whatever it had there, so that undoing does not take back what others
  /// did on top of it.
  Case into_step(const Case& step) const { return put_into(step, true); }

 private:
  Case put_into(const Case& mine, bool always) const;
  struct PlanChange {
    std::string name;
    std::optional<Plan> before, after;
  };
  struct LandmarkChange {
    std::string name;
    std::optional<Landmark> before, after;
  };
  std::vector<PlanChange> plans_;
  std::vector<LandmarkChange> landmarks_;
  std::vector<std::string> order_;  // of the plans after
  bool reordered_ = false, edited_ = false;
  std::optional<Pose> frame_before_, frame_after_;
  bool frame_changed_ = false;
  std::optional<std::pair<std::string, std::string>> id_;
};

}  // namespace intercusp
