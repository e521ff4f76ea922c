#include <doctest/doctest.h>

#include "base/calendar.h"

using namespace intercusp;

TEST_CASE("a date is a day of the calendar or none") {
  const auto leap = parse_date("2024-02-29");
  REQUIRE(leap.has_value());
  CHECK(leap->year == 2024);
  CHECK(leap->month == 2);
  CHECK(leap->day == 29);
  for (const char* none : {"2026-02-29", "1900-02-29", "2026-13-45", "2026-00-10", "2026-04-31", "soon", "2026-2-1",
                           "20260221xx", "2026-02-2a", "-026-02-21", ""}) {
    CAPTURE(none);
    CHECK_FALSE(parse_date(none).has_value());
  }
  CHECK(parse_date("2000-02-29").has_value());
  CHECK(parse_date(date_today()).has_value());
  CHECK(day_today() > 20000);  // after 2024
}
