#pragma once

#include <vector>

#include "review/fold.h"

namespace intercusp {

/// Gaps and repeats of an author's count, entries that do not follow the one they say they follow, and entries that
/// somebody has seen but that are not here: signs of a server or a copy that keeps something back. O(n log n).
std::vector<ReviewFinding> order_findings(const std::vector<ReviewEntry>& entries);

}  // namespace intercusp
