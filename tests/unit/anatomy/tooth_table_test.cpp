#include "anatomy/tooth_table.h"

#include <doctest/doctest.h>

#include "anatomy/notation.h"

using namespace intercusp;

namespace {

double widths(int first_position, int last_position, bool upper) {
  double sum = 0;
  for (int n = first_position; n <= last_position; ++n) sum += 2 * tooth_size((upper ? 10 : 40) + n)->mesiodistal;
  return sum;
}

}  // namespace

// Ash & Nelson, Wheeler's Dental Anatomy, Table 1-1 (upper incisors looked up, the rest from memory); sums by
// arithmetic.
TEST_CASE("sums of the mesiodistal widths") {
  CHECK(widths(1, 6, true) == doctest::Approx(93.0).epsilon(1e-12));
  CHECK(widths(1, 6, false) == doctest::Approx(85.0).epsilon(1e-12));
  CHECK(widths(1, 3, true) == doctest::Approx(45.0).epsilon(1e-12));
  CHECK(widths(1, 3, false) == doctest::Approx(35.0).epsilon(1e-12));
  CHECK(widths(1, 7, true) == doctest::Approx(111.0).epsilon(1e-12));
  CHECK(widths(1, 7, false) == doctest::Approx(106.0).epsilon(1e-12));
}

// Bolton 1958: overall mean 91.3 (SD 1.91), anterior 77.2 (SD 1.65), numbers from memory.
TEST_CASE("the average teeth have Bolton's ratios within a standard deviation") {
  const double overall = 100 * widths(1, 6, false) / widths(1, 6, true);
  const double anterior = 100 * widths(1, 3, false) / widths(1, 3, true);
  CHECK(overall == doctest::Approx(91.398).epsilon(1e-5));
  CHECK(anterior == doctest::Approx(77.778).epsilon(1e-5));
  CHECK(std::abs(overall - 91.3) < 1.91);
  CHECK(std::abs(anterior - 77.2) < 1.65);
}

TEST_CASE("the upper canine is the longest tooth, the lower central incisor the narrowest") {
  for (const ToothSize& row : tooth_table()) {
    const ToothSize canine = *tooth_size(23), incisor = *tooth_size(31);
    CHECK(row.crown_length + row.root_length <= canine.crown_length + canine.root_length);
    CHECK(row.mesiodistal >= incisor.mesiodistal);
    CHECK(row.mesiodistal > row.mesiodistal_cervix);
  }
  CHECK_FALSE(tooth_size(19));
}
