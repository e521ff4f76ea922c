// Measures that read one distance on each of several tooth pairs: the worst is the headline, all are reported.
#pragma once

#include <string>
#include <vector>

#include "occlusion/reading.h"

namespace intercusp {

enum class ReadAlong { forward, up, outwards };

/// How far `to` lies from `from`, along f, u or outwards: perpendicular to u and to the line from the distal to the
/// mesial contact point of `lower_tooth` where both are placed, else along l to the side that the tooth is on.
struct ToothOffset {
  std::string between;  ///< "11/41"
  std::string from, to;
  ReadAlong along = ReadAlong::forward;
  int lower_tooth = 0;  ///< for `outwards`

  Vec3 direction(const MeasureInput& in) const;
  Names read() const;  ///< every point that the value may rest on
  double value(const MeasureInput& in) const;
  bool placed(const MeasureInput& in) const { return has_point(in, from) && has_point(in, to); }
};

/// Names of what all pairs read.
Names points_of(const std::vector<ToothOffset>& offsets);

/// What is missing: nothing when one pair is placed, else the points of the pair that lacks least.
Names missing_offsets(const MeasureInput& in, const std::vector<ToothOffset>& offsets);

/// The least (or the greatest) of the placed pairs, the first of those within 1e-6 mm; with every pair's reading.
MeasureValue measure_offsets(const MeasureInput& in, const std::vector<ToothOffset>& offsets, bool least);

}  // namespace intercusp
