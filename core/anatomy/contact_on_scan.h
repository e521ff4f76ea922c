// Where neighbouring teeth touch, on a scan.
#pragma once

#include "anatomy/arch_fit.h"
#include "anatomy/mark_on_scan.h"

namespace intercusp {

/// The mesial or distal contact point of a crown (index into fit.crowns): on the vertical through the contact of the two
/// neighbours, seen from the chewing side; behind the last tooth its most distal place. As arch_landmarks() defines them
/// for jaws of known truth. Scan frame, mm. Some 0.1 ms.
MarkOnScan find_contact(const Surface& scan, const ArchFit& fit, std::size_t crown, bool mesial);

}  // namespace intercusp
