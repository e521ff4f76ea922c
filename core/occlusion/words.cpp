#include <cmath>
#include <cstdio>

#include "occlusion/measure.h"
#include "occlusion/relation.h"

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

// "11, 21" of the pairs "11/41" and "21/31" whose value is on the wrong side of zero.
std::string teeth_beyond(const MeasureValue& v, double sign) {
  std::string out;
  for (const PairReading& pair : v.pairs) {
    if (sign * pair.value > 0 && !shows_as_zero(pair.value))
      out += (out.empty() ? "" : ", ") + pair.between.substr(0, 2);
  }
  return out;
}

std::string crossbite_words(const MeasureDefinition& d, const MeasureValue& v) {
  const bool open = d.id.rfind("open_bite", 0) == 0, scissor = d.id.rfind("scissor", 0) == 0;
  const std::string teeth = teeth_beyond(v, open || scissor ? 1 : -1);
  const std::string mm = number(v.value, 2) + " mm";
  if (d.id == "open_bite_right" || d.id == "open_bite_left") {
    return v.value < 0 ? "closed, overlap " + mm : "widest gap " + mm + " at " + v.finding.value_or("");
  }
  if (open) return teeth.empty() ? "none, overlap at least " + mm : "open at " + teeth + ", " + mm;
  if (scissor) return teeth.empty() ? "none" : "scissor bite of " + teeth + ", " + mm;
  if (teeth.empty()) return v.value < 1 && d.id[0] == 'p' ? "none; tendency, least " + mm : "none, least " + mm;
  return "crossbite of " + teeth + ", " + mm;
}

std::string contact_words(const MeasureDefinition& d, const MeasureValue& v) {
  if (d.unit == "contacts") return number(v.value, 0);
  if (d.unit == "%") return number(v.value, 0) + " %";
  if (d.id == "premature_contact") {
    return shows_as_zero(v.value) ? "none"
                                  : v.finding.value_or("") + " meets " + number(v.value, 2) + " mm before three do";
  }
  return number(v.value, 2) + " mm2";
}

std::string angle_words(const MeasureDefinition& d, const MeasureValue& v) {
  const std::string amount = number(v.value, 1) + " degrees";
  if (std::abs(v.value) < 0.05) return amount;
  if (d.id == "occlusal_cant") return amount + (v.value > 0 ? ", left side down" : ", right side down");
  if (d.id == "occlusal_yaw") return amount + (v.value > 0 ? " to the patient's left" : " to the patient's right");
  if (d.id.rfind("incisor_inclination", 0) == 0) return amount + (v.value > 0 ? " proclined" : " retroclined");
  const bool inclination = d.id.rfind("crown_inclination", 0) == 0;
  const char* way = inclination ? (v.value > 0 ? " farther labial" : " farther lingual")
                                : (v.value > 0 ? " farther mesial" : " farther distal");
  return v.finding.value_or("") + ": " + amount + way;
}

}  // namespace

std::string in_words(const MeasureDefinition& d, const MeasureValue& v) {
  const std::string mm = number(v.value, 2) + " mm";
  if (d.group == "class" && v.finding) return *v.finding;
  if (v.relation && v.quarters) return relation_words(v);
  if (d.id == "overjet") return signed_words(v.value, mm, "edge to edge", "", "reverse");
  if (d.id == "overbite") return signed_words(v.value, mm, "edge to edge", "overlap", "open");
  if (d.id == "overbite_percent") {
    return signed_words(v.value, number(v.value, 1) + " % of the lower crown", "edge to edge", "overlapped", "open");
  }
  if (d.group == "midlines") {
    return signed_words(v.value, mm, "coincident", "to the patient's left", "to the patient's right");
  }
  if (d.group == "curve of Spee") {
    return signed_words(v.value, mm, "flat", "deep", "reverse") + (v.finding ? ", read " + *v.finding : "");
  }
  if (d.group == "crossbite and open bite") return crossbite_words(d, v);
  if (d.group == "contacts") return contact_words(d, v);
  if (d.id.rfind("crowding", 0) == 0) return signed_words(v.value, mm, "none", "crowding", "spacing");
  if (d.id.rfind("tooth_size_excess", 0) == 0) {
    return signed_words(v.value, mm, "none", "too much in the lower arch", "too much in the upper arch");
  }
  if (d.group == "curve of Wilson") return signed_words(v.value, mm, "flat", "deep", "reverse");
  if (d.unit == "deg") return angle_words(d, v);
  if (d.unit == "%") return number(v.value, 2) + " %";
  return mm;
}

std::string odds_in_words(const MeasureValue& v) {
  std::string out;
  for (const ClassOdds& odds : v.odds) {
    const std::string name =
        odds.quarters == 0 ? "Class I" : units_in_words(odds.quarters) + " Class " + angle_class(odds.quarters);
    out += (out.empty() ? "" : "; ") + name + ", " + number(100 * odds.probability, 0) + " %";
  }
  return out;
}

}  // namespace intercusp
