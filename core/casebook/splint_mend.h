// Thin places of a splint mended: what of its settings is changed, and the splint made again.
#pragma once

#include "casebook/splint_case.h"

namespace intercusp {

/// Changes an order so that the thin places of the splint that was made by it become as thick as asked: a wall is
/// widened by the rim, a cover over tips by the depth on its side, what lies between the arches by opening the bite.
/// All of the rim or depth is changed: a thickened spot would leave a step on it. Empty: nothing can be changed.
std::vector<SplintChange> mend_order(const CaseSplint& made, SplintOrder& order);

/// The same change again keeps where it began; others are added.
void add_changes(const std::vector<SplintChange>& more, std::vector<SplintChange>& all);

/// "rim width from 1.5 to 2.2 mm, opening from 0.0 to 1.4 mm"; empty for none.
std::string changes_words(const std::vector<SplintChange>& changes);

/// As splint_of_case, and mended as long as something is thin, four times made at most; `changed` so far (see
/// mend_order) goes into what it says. Where thin places are refused, so are those that are left.
Result<CaseSplint> mended_splint(const Case& c, const Plan& plan, const std::string& digest, SplintOrder order,
                                 std::vector<SplintChange> changed, const Progress& progress = Progress());

}  // namespace intercusp
