#include "occlusion/reading.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace intercusp {
namespace {

constexpr double kDisplacementMm = 1e-3;

// Whether the frame given is the one that the landmarks give: only then does it move with them.
bool frame_follows(const MeasureInput& input) {
  if (!input.frame) return false;
  const Result<OcclusalFrame> own = maxillary_occlusal_frame(input.points);
  return own.ok() && (own.value().up - input.frame->up).norm() < 1e-9 &&
         (own.value().forward - input.frame->forward).norm() < 1e-9;
}

// The part of the input that the value and the frame read, small enough to be changed many times.
MeasureInput excerpt(const MeasureInput& input, const Names& names, const Names& frame_names) {
  MeasureInput part;
  for (const Names* list : {&names, &frame_names}) {
    for (const std::string& name : *list) {
      const auto found = input.points.find(name);
      if (found != input.points.end()) part.points.insert(*found);
    }
  }
  part.frame = input.frame;
  part.midsagittal = input.midsagittal;
  part.settings = input.settings;
  return part;
}

}  // namespace

std::string tooth_point(int tooth, const char* feature) {
  return std::to_string(tooth) + "." + feature;
}

bool has_point(const MeasureInput& input, const std::string& name) {
  return input.points.count(name) > 0;
}

const Vec3& point_of(const MeasureInput& input, const std::string& name) {
  const auto found = input.points.find(name);
  assert(found != input.points.end());
  return found->second;
}

Names absent(const MeasureInput& input, const Names& names) {
  Names out;
  for (const std::string& name : names) {
    if (!has_point(input, name)) out.push_back(name);
  }
  return out;
}

Names absent_with_frame(const MeasureInput& input, const Names& names) {
  Names out;
  if (!input.frame) {
    out = missing_for_occlusal_frame(input.points);
    if (out.empty()) out.emplace_back("occlusal frame");
  }
  for (const std::string& name : absent(input, names)) {
    if (std::find(out.begin(), out.end(), name) == out.end()) out.push_back(name);
  }
  return out;
}

double propagated_sd(const MeasureInput& input, const Names& names,
                     const std::function<double(const MeasureInput&)>& value) {
  const bool follows = frame_follows(input);
  const Names frame_names = follows ? occlusal_frame_landmarks(input.points) : Names{};
  MeasureInput part = excerpt(input, names, frame_names);
  const auto displaced = [&](Vec3& at, int axis, double by) {
    const double kept = at[axis];
    at[axis] = kept + by;
    if (follows) {
      const Result<OcclusalFrame> frame = maxillary_occlusal_frame(part.points);
      if (frame) part.frame = frame.value();
    }
    const double read = value(part);
    at[axis] = kept;
    return read;
  };
  double squares = 0;
  for (auto& [name, at] : part.points) {
    for (int axis = 0; axis < 3; ++axis) {
      const double slope =
          (displaced(at, axis, kDisplacementMm) - displaced(at, axis, -kDisplacementMm)) / (2 * kDisplacementMm);
      squares += slope * slope;
    }
  }
  return std::sqrt(squares) * input.settings.landmark_sd_mm;
}

}  // namespace intercusp
