// Where neighbouring teeth touch, on a scan.
#pragma once

#include "anatomy/arch_fit.h"
#include "anatomy/mark_on_scan.h"

namespace intercusp {

struct ContactsOnScan {
  MarkOnScan mesial, distal;
};

/// The contact points of a crown (index into fit.crowns): on the vertical through the contact with each neighbour, seen
/// from the chewing side, no deeper than the crown's widest place; behind the last tooth its most distal place. As
/// arch_landmarks() defines them for jaws of known truth. Scan frame, mm. Some 0.2 ms.
ContactsOnScan find_contacts(const Surface& scan, const ArchFit& fit, std::size_t crown);

}  // namespace intercusp
