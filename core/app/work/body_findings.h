#pragma once

#include "app/work/workspace.h"

namespace intercusp {

/// What is wrong with a body's surface or worth knowing about it, in sentences. Worked out when first asked for, O(n),
/// and kept as long as the body has this surface.
const std::vector<std::string>& findings_of(const Workspace& w, const Body& body);

}  // namespace intercusp
