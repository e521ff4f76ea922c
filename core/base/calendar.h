#pragma once

#include <optional>
#include <string>

namespace intercusp {

/// Today in coordinated universal time: "2026-02-21".
std::string date_today();
struct Date {
  int year = 0, month = 0, day = 0;
};
/// "2026-02-21" as numbers; nothing where it is no day of the calendar.
std::optional<Date> parse_date(const std::string& text);
/// Whole days since 1 January 1970, in coordinated universal time.
long day_today();

}  // namespace intercusp
