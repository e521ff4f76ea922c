#include "app/work/first_reading.h"

#include <algorithm>
#include <cstdlib>
#include <string>

#include "anatomy/notation.h"

namespace intercusp {

namespace {

const char* const kMeasures[] = {"overjet",    "overbite",     "midline_upper_lower", "molar_right",
                                 "molar_left", "canine_right", "canine_left"};

void add_teeth(std::set<int>& teeth, const std::vector<std::string>& landmarks) {
  for (const std::string& name : landmarks) {
    const int tooth = std::atoi(name.c_str());
    if (is_permanent_tooth(tooth)) teeth.insert(tooth);
  }
}

}  // namespace

FirstReading first_reading(const Workspace& w) {
  FirstReading r;
  if (!w.has_case) return r;
  const auto& points = w.readings.start().points;
  const std::vector<std::string> frame = missing_for_occlusal_frame(points);
  add_teeth(r.left, frame);
  for (const char* id : kMeasures) {
    const MeasureDefinition* d = find_measure(id);
    add_teeth(r.teeth, d->needs);
    add_teeth(r.left, d->missing(w.readings.start().input));
  }
  for (const int tooth : {11, 16, 21, 26}) r.teeth.insert(tooth);  // of the occlusal frame
  r.teeth.insert(r.left.begin(), r.left.end());
  return r;
}

}  // namespace intercusp
