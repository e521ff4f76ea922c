// Which jaw is moved to where the teeth meet best.
#pragma once

#include "app/work/workspace.h"

namespace intercusp {

/// "upper" or "lower": as chosen, else the upper jaw where it is sawn off, else the lower one.
std::string seated_jaw(const Workspace& w);
/// Whether the other one can be chosen: both can move.
bool chooses_seated_jaw(const Workspace& w);

}  // namespace intercusp
