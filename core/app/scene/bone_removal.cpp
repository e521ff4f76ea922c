#include "app/scene/bone_removal.h"

#include <algorithm>

namespace intercusp {

void BoneRemoval::forget() {
  const std::uint64_t answers = answers_ + 1, age = age_ + 1;
  *this = BoneRemoval();
  answers_ = answers;
  age_ = age;
}

Status BoneRemoval::ask(ErrandDesk& desk, FindBoneInWay where, double clearance, std::uint64_t version,
                        const KeepNotes& keep) {
  const auto use = [this, version, keep, age = age_](ErrandAnswer& answer) -> Status {
    if (age != age_) return Done{};
    if (const auto* error = std::get_if<Error>(&answer)) return *error;
    auto* made = std::get_if<BonesTrimmed>(&answer);
    if (!made) return Error{"the bone could not be cut back", "", "close other pages and try again"};
    if (made->bones.empty()) return Error{"no bone is in the way here, so none is taken off", "", ""};
    for (BonesTrimmed::Bone& bone : made->bones) keep(bone.ready.surface, bone.ready.notes);
    made_ = std::move(*made);
    version_ = version;
    shown_ = true;
    ++answers_;
    return Done{};
  };
  return desk.go(TrimBones{std::move(where), clearance}, "Taking the bone off", use);
}

const BonesTrimmed::Bone* BoneRemoval::bone(std::uint64_t version, const std::string& body) const {
  const BonesTrimmed* now = shown(version);
  if (!now) return nullptr;
  const auto found =
      std::find_if(now->bones.begin(), now->bones.end(), [&](const auto& bone) { return bone.body == body; });
  return found == now->bones.end() ? nullptr : &*found;
}

bool BoneRemoval::before_fresh_bone(std::uint64_t version, const std::string& body) const {
  const BonesTrimmed* now = shown(version);
  return now && !bone(version, body) && std::any_of(now->bones.begin(), now->bones.end(), [&](const auto& bone) {
           return std::find(bone.others.begin(), bone.others.end(), body) != bone.others.end();
         });
}

}  // namespace intercusp
