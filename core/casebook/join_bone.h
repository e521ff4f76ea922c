#pragma once

#include <string>
#include <vector>

#include "base/progress.h"
#include "casebook/case.h"

namespace intercusp {

/// Joins the dental scans of a new case to its bone from CT: the upper scan is laid on the teeth of the upper bone, and
/// the lower scan and all landmarks of teeth and palate go with it, so that the scanned bite stays; landmarks of the
/// skull are taken to be the bone's own. Nothing moves when the scan does not lie on teeth there (a bone may show
/// none). Returns sentences: what was moved, the residual of each scan, how the bite in the CT differs, and what each
/// bone surface can be used for. A few seconds.
std::vector<std::string> join_scans_to_bone(Case& c, const Progress& progress = Progress());

}  // namespace intercusp
