#pragma once

#include "app/view/pick.h"

namespace intercusp {

/// A picked place after snapping to the tooth's form.
struct SnappedPlace {
  Vec3 scan = Vec3::Zero(), patient = Vec3::Zero();
  std::string words;  ///< what was found: "cusp tip"; empty when the place stays as clicked
};

/// The cusp, edge or groove near a pick, of the kind that the wanted landmark asks for; the pick itself when snapping
/// is off or nothing is near.
SnappedPlace snapped_place(const Workspace& w, const Pick& pick);

}  // namespace intercusp
