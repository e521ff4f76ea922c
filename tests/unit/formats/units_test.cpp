#include "formats/units.h"

#include <doctest/doctest.h>

using namespace intercusp;

// Examples of reference-values.md 13.2 (common practice, no source): 65 -> mm, 0.065 -> m, 2.56 -> inch (65.0 mm),
// 6.5 -> cm, 4.0 -> inch or cm.
TEST_CASE("the unit of a dental arch is guessed from its extent") {
  CHECK(guess_units(65).certainly_mm);
  const auto only = [](double extent) {
    const UnitGuess guess = guess_units(extent);
    CHECK_FALSE(guess.certainly_mm);
    REQUIRE(guess.candidates.size() == 1);
    return guess.candidates[0];
  };
  CHECK(only(0.065).unit == "m");
  CHECK(only(0.065).size_mm == doctest::Approx(65));
  CHECK(only(2.56).unit == "inch");
  CHECK(only(2.56).size_mm == doctest::Approx(65.024));
  CHECK(only(6.5).unit == "cm");
  const UnitGuess either = guess_units(4.0);
  REQUIRE(either.candidates.size() == 2);
  CHECK(either.candidates[0].unit == "cm");
  CHECK(either.candidates[1].unit == "inch");
  CHECK(either.sentence.find("In centimetres it would be 40 mm or in inches it would be 102 mm") != std::string::npos);
}

TEST_CASE("the borders belong to the ranges; outside all four units are on offer") {
  CHECK(guess_units(30).certainly_mm);
  CHECK(guess_units(120).certainly_mm);
  CHECK(guess_units(12).candidates[0].unit == "cm");
  for (const double extent : {0.0, 0.02, 0.5, 20.0, 121.0, 1e9, -5.0}) {
    CAPTURE(extent);
    CHECK_FALSE(guess_units(extent).certainly_mm);
    CHECK(guess_units(extent).candidates.size() == 4);
  }
  CHECK(guess_units(0).sentence.find("no extent") != std::string::npos);
}

// Adult skulls are some 180 mm long, mandibles some 110 mm wide (common practice, no source).
TEST_CASE("what is too long for an arch is bone") {
  CHECK(guess_surface_units(110).certainly_mm);
  for (const double extent : {121.0, 180.0, 400.0}) {
    CAPTURE(extent);
    CHECK(guess_surface_units(extent).certainly_mm);
  }
  CHECK(guess_surface_units(65).certainly_mm);
  CHECK(guess_surface_units(6.5).candidates[0].unit == "cm");  // an arch, before a small bone in another unit
  const UnitGuess skull = guess_surface_units(18.0);
  CHECK_FALSE(skull.certainly_mm);
  REQUIRE(skull.candidates.size() == 1);
  CHECK(skull.candidates[0].unit == "cm");
  CHECK(skull.sentence.find("In centimetres it would be 180 mm") != std::string::npos);
  CHECK(guess_surface_units(1000).candidates.size() == 4);
}

// The inch is 25.4 mm exactly (international yard and pound agreement of 1959).
TEST_CASE("units by name") {
  CHECK(factor_to_mm("mm") == 1.0);
  CHECK(factor_to_mm("cm") == 10.0);
  CHECK(factor_to_mm("m") == 1000.0);
  CHECK(factor_to_mm("inch") == 25.4);
  CHECK_FALSE(factor_to_mm("furlong").has_value());
  CHECK_FALSE(factor_to_mm("").has_value());
}
