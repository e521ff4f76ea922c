// Two plans of one case beside each other: where they put each segment, what that makes of the bite, where it touches.
#pragma once

#include <string>

#include <nlohmann/json_fwd.hpp>

#include "base/progress.h"
#include "base/result.h"
#include "casebook/case.h"

namespace intercusp {

/// {"case","plans":[FIRST,SECOND],
///  "segments":[{"segment","first","second","difference","words"}], movements from rest about the pivot there; the
///    difference is the movement from where the first plan puts it to where the second does, about the pivot of the
///    first,
///  "measures":[{"id","name","unit","start","first","second","difference"}], those known under both,
///  "clearance":[{"between":[BODY,BODY],"first","second"}], each {"deepest_mm","volume_mm3","gap_mm"}: the deepest
///    overlap (0 for none), its whole volume (null where an open body does not define it) and the least gap (null
///    beyond the search); pairs that overlap under either plan, and the two arches always,
///  "caution"}.
/// A segment that only one plan has (its cuts differ) has null for the other and no difference. `c` is the case before
/// any cut. Errors: a plan that does not exist, the same plan twice, cuts or entries that cannot be made, cancelled.
/// Costs the cuts of both plans and two contact queries a pair of bodies.
Result<nlohmann::json> plans_beside(const Case& c, const std::string& first, const std::string& second,
                                    const Progress& progress = Progress());

}  // namespace intercusp
