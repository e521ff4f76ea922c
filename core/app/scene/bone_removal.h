#pragma once

#include <functional>
#include <optional>
#include <string>

#include "app/errands/errand_desk.h"
#include "casebook/bone_in_way.h"

namespace intercusp {

/// The bones of the position shown after what is in the way was taken off with a clearance: made when asked for.
class BoneRemoval {
 public:
  using KeepNotes = std::function<void(const SurfacePtr&, SurfaceNotes)>;
  /// Asks for it; what comes of it is shown. `version` names the position. Error: what keeps it from being made.
  Status ask(ErrandDesk& desk, FindBoneInWay where, double clearance_mm, std::uint64_t version, const KeepNotes& keep);
  void show(bool on) { shown_ = on; }

  /// What was made for this position; null without it.
  const BonesTrimmed* at(std::uint64_t version) const { return made_ && version == version_ ? &*made_ : nullptr; }
  /// The same while it is to be seen.
  const BonesTrimmed* shown(std::uint64_t version) const { return shown_ ? at(version) : nullptr; }
  /// The bone after removal, of one that was cut back; null for all others.
  const BonesTrimmed::Bone* bone(std::uint64_t version, const std::string& body) const;
  /// Whether a bone stands where one is cut back, so that it would hide what is left.
  bool before_fresh_bone(std::uint64_t version, const std::string& body) const;
  /// Grows with every answer.
  std::uint64_t answers() const { return answers_; }
  void forget();

  double clearance_mm = kRemovalClearance;  ///< to be asked for next

 private:
  std::optional<BonesTrimmed> made_;
  std::uint64_t version_ = ~0ull, answers_ = 0, age_ = 0;
  bool shown_ = false;
};

}  // namespace intercusp
