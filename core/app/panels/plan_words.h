#pragma once

#include <string>
#include <vector>

#include "app/work/workspace.h"

namespace intercusp {

/// What the plan does, a sentence for each segment that moves, as it would be dictated.
std::vector<std::string> plan_words(const Workspace& w);
/// The movement sheet as text: case, plan, movements, what the bite measures before and after.
std::string sheet_as_text(const Workspace& w);

}  // namespace intercusp
