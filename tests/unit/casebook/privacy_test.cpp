#include "casebook/privacy.h"

#include <doctest/doctest.h>

using namespace intercusp;

TEST_CASE("ids that look like a name or a date of birth are warned about") {
  for (const char* id : {"Ada Sample", "Sample, Ada", "Sample_Ada", "born 03.07.1998", "1998-07-03", "07/03/98",
                         "19980703", "03071998"}) {
    CAPTURE(id);
    CHECK(id_warning(id).has_value());
  }
}

TEST_CASE("neutral ids are not") {
  for (const char* id : {"", "case 17", "class3", "C-2041-b", "study4 upper", "20419999", "Pilot", "A12.7"}) {
    CAPTURE(id);
    CHECK_FALSE(id_warning(id).has_value());
  }
}
