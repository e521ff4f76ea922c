// What a generated jaw measures, straight from its landmarks in the patient frame.
#pragma once

#include "anatomy/sample_jaws.h"

namespace intercusp {

/// Fills `truth` and `truth_class` of the sample from its landmarks. Written for the patient frame of the generator,
/// where left, forward and up are +x, -y and +z, so that it shares nothing with the program's own measures.
void add_truth(SampleJaws& jaws);

/// Signed offset along the side direction, its unit and the class it makes.
struct SideRelation {
  double offset_mm = 0, unit_mm = 7;
  int quarters() const;
  const char* class_name() const;
};
SideRelation molar_relation(const LandmarkSet& landmarks, bool right);
SideRelation canine_relation(const LandmarkSet& landmarks, bool right);

struct IncisorRelation {
  double overjet_mm = 0, overbite_mm = 0, overbite_percent = 0;
};
/// The pair (11/41 or 21/31) with the larger overjet by magnitude; the right one of equals.
IncisorRelation incisor_relation(const LandmarkSet& landmarks);

double midline_offset(const LandmarkSet& landmarks);

}  // namespace intercusp
