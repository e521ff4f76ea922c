// An invented bite as landmarks alone: two symmetric arches laid along ellipses, every landmark the measures read, with
// hand-set cusp heights. Not anatomy; a set of points that is complete, lopsided where asked, and easy to move.
#pragma once

#include <cmath>
#include <cstdint>

#include "anatomy/occlusal_frame.h"
#include "occlusion/measure.h"

namespace intercusp {

struct Ellipse {
  double half_width, depth, height;
  // Point at `angle_deg` from the midline, on the right (-1) or left (+1), shifted in height.
  Vec3 at(double angle_deg, int side, double up) const {
    const double a = radians(angle_deg);
    return {side * half_width * std::sin(a), -depth * std::cos(a), height + up};
  }
};

inline void lay_tooth(PointMap& points, int tooth, const Ellipse& arch, double from_deg, double to_deg) {
  const int side = (tooth / 10 == 1 || tooth / 10 == 4) ? -1 : 1;
  const bool upper = tooth / 10 <= 2;
  const int position = tooth % 10;
  const double bite = upper ? -1 : 1;  // towards the other arch
  const auto put = [&](const char* feature, double part, double up, double out = 1) {
    Vec3 at = arch.at(from_deg + part * (to_deg - from_deg), side, up * bite);
    at.head<2>() *= out;  // towards the tongue where below 1
    points[std::to_string(tooth) + "." + feature] = at;
  };
  put("contact_mesial", 0, -3);
  put("contact_distal", 1, -3);
  put("gingival_mid", 0.5, -8);
  if (position <= 2) {
    put("incisal_edge_mid", 0.5, 0.5);
    put("incisal_edge_labial", 0.5, 0.4);
  } else if (position == 3) {
    put("cusp_tip", 0.5, 0.9);
    put("incisal_edge_labial", 0.5, 0.6);
  } else if (position <= 5) {
    put("buccal_cusp", 0.5, upper ? 0.3 : -0.6);
    put(upper ? "palatal_cusp" : "lingual_cusp", 0.5, upper ? 0.4 : -1.0, 0.82);
  } else {
    put("mesiobuccal_cusp", 0.25, upper ? 0.2 : -1.1);
    put("distobuccal_cusp", 0.7, upper ? 0.1 : position == 7 ? 0.8 : -0.7);
    put("buccal_groove", 0.45, -1.5);
    put(upper ? "mesiopalatal_cusp" : "mesiolingual_cusp", 0.3, upper ? 0.9 : -1.9, 0.8);
  }
}

// Ends of the teeth along the arch, degrees from the midline, positions 1 to 7.
constexpr double kUpperEnds[] = {0, 11, 19.5, 29.5, 38, 46.5, 60, 73};
constexpr double kLowerEnds[] = {0, 7.5, 15.5, 25.5, 35, 44.5, 60, 75};

inline PointMap model_bite() {
  const Ellipse upper{30, 46, 0}, lower{28, 43.5, 2};
  PointMap points;
  for (const int quadrant : {1, 2, 3, 4}) {
    const double* ends = quadrant <= 2 ? kUpperEnds : kLowerEnds;
    for (int position = 1; position <= 7; ++position) {
      lay_tooth(points, 10 * quadrant + position, quadrant <= 2 ? upper : lower, ends[position - 1], ends[position]);
    }
  }
  return points;
}

// Steps of a fixed integer generator (splitmix64), for lopsided bites that are the same everywhere.
inline double spread(std::uint64_t& state) {
  state += 0x9E3779B97F4A7C15ull;
  std::uint64_t z = state;
  z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ull;
  z = (z ^ (z >> 27)) * 0x94D049BB133111EBull;
  return static_cast<double>((z ^ (z >> 31)) >> 11) * (2.0 / 9007199254740992.0) - 1;
}

inline PointMap lopsided_bite(std::uint64_t seed, double by_mm = 1.5) {
  PointMap points = model_bite();
  for (auto& [name, at] : points) {
    for (int axis = 0; axis < 3; ++axis) at[axis] += by_mm * spread(seed);
  }
  return points;
}

inline PointMap moved(const PointMap& points, const Pose& pose) {
  PointMap out;
  for (const auto& [name, at] : points) out[name] = pose * at;
  return out;
}

inline MeasureInput input_of(const PointMap& points) {
  MeasureInput in;
  in.points = points;
  const Result<OcclusalFrame> frame = maxillary_occlusal_frame(points);
  if (frame) in.frame = frame.value();
  return in;
}

inline MeasureValue read(const MeasureInput& in, const char* id) {
  const MeasureDefinition* d = find_measure(id);
  if (d && d->missing(in).empty()) return d->measure(in);
  MeasureValue nothing;
  nothing.value = std::nan("");
  return nothing;
}

}  // namespace intercusp
