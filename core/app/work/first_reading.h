#pragma once

#include <set>

#include "app/work/workspace.h"

namespace intercusp {

/// The teeth that a first reading uses: overjet, overbite, midlines, molar and canine relation.
struct FirstReading {
  std::set<int> teeth;  ///< ISO numbers, as the measures ask for them in this case
  std::set<int> left;   ///< of these: not all of their points are placed
};
FirstReading first_reading(const Workspace& w);

}  // namespace intercusp
