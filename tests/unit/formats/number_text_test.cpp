#include "formats/number_text.h"

#include <doctest/doctest.h>

#include <cmath>
#include <cstring>
#include <limits>

using namespace intercusp;

namespace {

double number(const char* text) {
  double value = -12345;
  CHECK(read_number(text, value) == NumberKind::finite);
  return value;
}

NumberKind kind(const std::string& text) {
  double value = 0;
  return read_number(text, value);
}

}  // namespace

// The right sides are the compiler's own conversions, an independent reader of decimals.
TEST_CASE("decimals are read correctly rounded") {
  CHECK(number("0") == 0);
  CHECK(std::signbit(number("-0.0")));
  CHECK(number("1") == 1);
  CHECK(number("+12.5") == 12.5);
  CHECK(number(".5") == 0.5);
  CHECK(number("5.") == 5);
  CHECK(number("-1.25e-3") == -1.25e-3);
  CHECK(number("0.1") == 0.1);
  CHECK(number("3.14159265358979323846264338327950288") == 3.14159265358979323846264338327950288);
  CHECK(number("9007199254740993") == 9007199254740993.0);
  CHECK(number("1e22") == 1e22);
  CHECK(number("123456789e23") == 123456789e23);
  CHECK(number("2.2250738585072011e-308") == 2.2250738585072011e-308);
  CHECK(number("1e-400") == 0);
  CHECK(number("0e999999999999") == 0);
  CHECK(number("0000000000000000000000000000001.5") == 1.5);
  CHECK(number("100000000000000000000000000000") == 1e29);
}

TEST_CASE("what is no finite number is told apart") {
  for (const char* text : {"nan", "NaN", "-nan(ind)", "inf", "-Infinity", "1.#QNAN", "-1.#IND", "1e39", "-1e400"}) {
    CAPTURE(text);
    CHECK(kind(text) == NumberKind::not_finite);
  }
  for (const char* text : {"", "-", ".", "1e", "1e+", "0x10", "1,5", "1.2.3", "one", "--1", "1f", "e5"}) {
    CAPTURE(text);
    CHECK(kind(text) == NumberKind::no_number);
  }
  CHECK(kind(std::string(129, '1')) == NumberKind::no_number);
}

TEST_CASE("whole numbers are read whole or not at all") {
  CHECK(read_whole("0") == 0);
  CHECK(read_whole("-17") == -17);
  CHECK(read_whole("+4294967296") == 4294967296);
  CHECK_FALSE(read_whole("").has_value());
  CHECK_FALSE(read_whole("-").has_value());
  CHECK_FALSE(read_whole("1.0").has_value());
  CHECK(read_whole("9223372036854775807") == 9223372036854775807);
  CHECK_FALSE(read_whole("9223372036854775808").has_value());
}

TEST_CASE("written decimals read back to the same float, for floats of every size") {
  std::uint64_t state = 1;
  for (int i = 0; i < 20000; ++i) {
    state = state * 6364136223846793005u + 1442695040888963407u;
    const auto bits = static_cast<std::uint32_t>(state >> 32);
    float value;
    std::memcpy(&value, &bits, sizeof value);
    if (!std::isfinite(value)) continue;
    std::string text;
    append_decimal(text, value);
    double back = 0;
    REQUIRE(read_number(text, back) == NumberKind::finite);
    REQUIRE(static_cast<float>(back) == value);
  }
  std::string text;
  append_decimal(text, 0.1f);
  CHECK(text == "0.1");
}
