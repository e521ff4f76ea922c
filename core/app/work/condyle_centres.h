#pragma once

#include <optional>

#include "app/work/workspace.h"

namespace intercusp {

/// The centre of a condyle from the lower incisal midpoint at the start, along the occlusal frame; mm.
struct CondylePlace {
  double back_mm = 0, up_mm = 0;
  double aside_mm = 0;  ///< from the middle, to the condyle's own side
};
/// Of Bonwill's triangle (side 101.6 mm) under Balkwill's angle (26 degrees): an average, nobody's own.
CondylePlace average_condyle();
/// Whether the teeth give what the distances count from.
bool can_say_condyles(const Workspace& w);
/// Where it is placed; empty while it is not.
std::optional<CondylePlace> condyle_place(const Workspace& w, bool right);

}  // namespace intercusp
