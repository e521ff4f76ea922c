#include "occlusion/relation.h"

#include <algorithm>
#include <cmath>

namespace intercusp {
namespace {

constexpr double kLeastOdds = 0.05;

// Cumulative standard normal distribution.
double normal_below(double z) {
  return 0.5 * std::erfc(-z / std::sqrt(2.0));
}

}  // namespace

int quarter_units(double offset_mm, double unit_mm) {
  const double quarters = std::abs(offset_mm) * 4 / unit_mm;
  const int whole = static_cast<int>(std::floor(quarters + 0.5 + 4e-9));
  return offset_mm < 0 ? -whole : whole;
}

const char* angle_class(int quarters) {
  return quarters > 0 ? "II" : quarters < 0 ? "III" : "I";
}

double class_probability(int quarters, double offset_mm, double unit_mm, double sd_mm) {
  if (!(sd_mm > 0)) return 1;
  const double edge = unit_mm / 8;
  const double class3 = normal_below((-edge - offset_mm) / sd_mm);
  const double class2 = normal_below((offset_mm - edge) / sd_mm);
  return quarters > 0 ? class2 : quarters < 0 ? class3 : 1 - class2 - class3;
}

std::vector<ClassOdds> quarter_odds(double offset_mm, double unit_mm, double sd_mm) {
  const int read = quarter_units(offset_mm, unit_mm);
  if (!(sd_mm > 0)) return {{read, 1.0}};
  const double quarter = unit_mm / 4;
  const int reach = static_cast<int>(std::ceil(4 * sd_mm / quarter)) + 1;
  std::vector<ClassOdds> out;
  for (int q = read - reach; q <= read + reach; ++q) {
    const double low = (q - 0.5) * quarter, high = (q + 0.5) * quarter;
    const double p = normal_below((high - offset_mm) / sd_mm) - normal_below((low - offset_mm) / sd_mm);
    if (p >= kLeastOdds) out.push_back({q, p});
  }
  std::stable_sort(out.begin(), out.end(),
                   [](const ClassOdds& a, const ClassOdds& b) { return a.probability > b.probability; });
  return out;
}

}  // namespace intercusp
