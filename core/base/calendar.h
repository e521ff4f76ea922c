#pragma once

#include <string>

namespace intercusp {

/// Today in coordinated universal time: "2026-02-21".
std::string date_today();
/// Whole days since 1 January 1970, in coordinated universal time.
long day_today();

}  // namespace intercusp
