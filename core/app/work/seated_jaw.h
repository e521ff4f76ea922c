// Which jaw is moved to where the teeth meet best.
#pragma once

#include "app/work/workspace.h"

namespace intercusp {

/// What seats where the plan parts the upper jaw: its pieces, each by itself.
constexpr const char* kSeatedInPieces = "pieces";

/// "upper", "pieces" or "lower": as chosen, else the upper jaw where it is sawn off, in pieces where it is parted, else
/// the lower one.
std::string seated_jaw(const Workspace& w);
/// What can be chosen, in display order.
std::vector<std::string> seated_jaws(const Workspace& w);

}  // namespace intercusp
