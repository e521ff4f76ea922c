#pragma once

#include <string>

#include "casebook/case.h"

namespace intercusp {

/// The canonical form that people agree to: cuts, movements, landmarks and meshes (by their own SHA-256), numbers
/// rounded to 1e-6 mm or degrees, keys sorted, no computed results. The same bytes natively and in the browser.
std::string canonical_plan(const Case& c, const Plan& plan);

/// SHA-256 of canonical_plan.
std::string plan_digest(const Case& c, const Plan& plan);

}  // namespace intercusp
