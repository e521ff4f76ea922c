#include <cmath>
#include <cstdio>

#include "occlusion/measure.h"

namespace intercusp {
namespace {

std::string number(double value, int decimals) {
  char text[64];
  std::snprintf(text, sizeof text, "%.*f", decimals, std::abs(value));
  return text;
}

// Whether the value shows as zero with two decimals: then it has no direction.
bool shows_as_zero(double value) {
  return std::abs(value) < 0.005;
}

// "half a unit", "one and a quarter units"
std::string units_in_words(int quarters) {
  static const char* const below[] = {"", "a quarter unit", "half a unit", "three quarters of a unit", "a full unit"};
  static const char* const rest[] = {"", " and a quarter", " and a half", " and three quarters"};
  const int n = std::abs(quarters);
  return n <= 4 ? below[n] : std::to_string(n / 4) + rest[n % 4] + " units";
}

std::string relation_words(const MeasureValue& v) {
  const std::string mm = number(v.value, 2) + " mm";
  const std::string toward = v.value > 0 ? "mesial" : "distal";
  if (*v.quarters == 0) return shows_as_zero(v.value) ? "Class I" : "Class I, " + mm + " " + toward;
  return units_in_words(*v.quarters) + " Class " + *v.relation + ", " + mm;
}

std::string signed_words(double value, const std::string& amount, const char* zero, const char* positive,
                         const char* negative) {
  if (shows_as_zero(value)) return zero;
  const std::string direction = value > 0 ? positive : negative;
  return direction.empty() ? amount : amount + " " + direction;
}

}  // namespace

std::string in_words(const MeasureDefinition& d, const MeasureValue& v) {
  const std::string mm = number(v.value, 2) + " mm";
  if (v.relation && v.quarters) return relation_words(v);
  if (d.id == "overjet") return signed_words(v.value, mm, "edge to edge", "", "reverse");
  if (d.id == "overbite") return signed_words(v.value, mm, "edge to edge", "overlap", "open");
  if (d.id == "overbite_percent") {
    return signed_words(v.value, number(v.value, 1) + " % of the lower crown", "edge to edge", "overlapped", "open");
  }
  if (d.group == "midlines") {
    return signed_words(v.value, mm, "coincident", "to the patient's left", "to the patient's right");
  }
  if (d.group == "curve of Spee") return signed_words(v.value, mm, "flat", "deep", "reverse");
  if (d.unit == "%") return number(v.value, 2) + " %";
  return mm;
}

}  // namespace intercusp
