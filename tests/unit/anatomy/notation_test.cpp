#include "anatomy/notation.h"

#include <doctest/doctest.h>

using namespace intercusp;

// ISO 3950:2016 for the two-digit numbers; the universal numbers after the ADA, start and direction looked up, the rest
// by arithmetic.
TEST_CASE("universal numbers of single teeth") {
  CHECK(universal_from_iso(36) == 19);
  CHECK(universal_from_iso(48) == 32);
  CHECK(universal_from_iso(11) == 8);
  CHECK(universal_from_iso(26) == 14);
  CHECK(iso_from_universal(14) == 26);
  CHECK_FALSE(iso_from_universal(0));
  CHECK_FALSE(iso_from_universal(33));
}

TEST_CASE("all 32 teeth go to universal numbers and back") {
  int sum = 0, teeth = 0;
  for (int iso = 0; iso < 100; ++iso) {
    if (!is_permanent_tooth(iso)) continue;
    ++teeth;
    const auto universal = universal_from_iso(iso);
    REQUIRE(universal);
    sum += *universal;
    CHECK(iso_from_universal(*universal) == iso);
  }
  CHECK(teeth == 32);
  CHECK(sum == 528);
}

TEST_CASE("numbers that are no permanent tooth are rejected") {
  for (const int code : {10, 19, 29, 39, 49, 56, 86, 0, -11, 111}) {
    CHECK_FALSE(is_permanent_tooth(code));
    CHECK_FALSE(universal_from_iso(code));
  }
}

TEST_CASE("mirror across the midline") {
  CHECK(mirrored_tooth(36) == 46);
  CHECK(mirrored_tooth(13) == 23);
  CHECK(universal_from_iso(mirrored_tooth(*iso_from_universal(19))) == 30);
  CHECK(universal_from_iso(mirrored_tooth(*iso_from_universal(6))) == 11);
  for (int iso = 11; iso <= 48; ++iso)
    if (is_permanent_tooth(iso)) CHECK(mirrored_tooth(mirrored_tooth(iso)) == iso);
}

TEST_CASE("names and kinds") {
  CHECK(tooth_name(16) == "upper right first molar");
  CHECK(tooth_name(33) == "lower left canine");
  CHECK(tooth_kind(45) == ToothKind::second_premolar);
  CHECK(is_molar(48));
  CHECK_FALSE(is_molar(45));
}
