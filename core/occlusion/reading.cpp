#include "occlusion/reading.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace intercusp {
namespace {

constexpr double kDisplacementMm = 1e-3;

// The landmarks of the frame, if the frame given is the one that they give: only then does it move with them.
OcclusalFrameBasis basis_of(const MeasureInput& input) {
  if (!input.frame) return {};
  const std::optional<OcclusalFrameBasis> basis = occlusal_frame_basis(input.points);
  if (!basis) return {};
  const Result<OcclusalFrame> own = basis->frame();
  const bool same = own.ok() && (own.value().up - input.frame->up).norm() < 1e-9 &&
                    (own.value().forward - input.frame->forward).norm() < 1e-9;
  return same ? *basis : OcclusalFrameBasis{};
}

// The part of the input that the value reads, small enough to be changed many times.
MeasureInput excerpt(const MeasureInput& input, const Names& names) {
  MeasureInput part;
  for (const std::string& name : names) {
    const auto found = input.points.find(name);
    if (found != input.points.end()) part.points.insert(*found);
  }
  part.frame = input.frame;
  part.midsagittal = input.midsagittal;
  part.settings = input.settings;
  return part;
}

// One landmark as the value reads it and as the frame does; either may be null.
struct Displaceable {
  double sd_mm = 0;
  Vec3* in_value = nullptr;
  Vec3* in_frame = nullptr;
  void shift(int axis, double by) const {
    if (in_value) (*in_value)[axis] += by;
    if (in_frame) (*in_frame)[axis] += by;
  }
};

std::vector<Displaceable> displaceables(const MeasureInput& input, MeasureInput& part, OcclusalFrameBasis& basis) {
  std::map<std::string, Displaceable> by_name;
  for (auto& [name, at] : part.points) by_name[name].in_value = &at;
  for (std::size_t i = 0; i < basis.names.size(); ++i) by_name[basis.names[i]].in_frame = &basis.points[i];
  std::vector<Displaceable> out;
  for (auto& [name, d] : by_name) {
    d.sd_mm = landmark_sd(input, name);
    out.push_back(d);
  }
  return out;
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

double landmark_sd(const MeasureInput& input, const std::string& name) {
  const auto own = input.landmark_sd.find(name);
  return own == input.landmark_sd.end() ? input.settings.landmark_sd_mm : own->second;
}

double landmark_variance(const MeasureInput& input, const Names& names) {
  double sum = 0;
  for (const std::string& name : names) sum += landmark_sd(input, name) * landmark_sd(input, name);
  return sum;
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
  OcclusalFrameBasis basis = basis_of(input);
  MeasureInput part = excerpt(input, names);
  const auto displaced = [&](const Displaceable& landmark, int axis, double by) {
    landmark.shift(axis, by);
    if (landmark.in_frame) {
      const Result<OcclusalFrame> frame = basis.frame();
      if (frame) part.frame = frame.value();
    }
    const double read = value(part);
    landmark.shift(axis, -by);
    part.frame = input.frame;
    return read;
  };
  double squares = 0;
  for (const Displaceable& landmark : displaceables(input, part, basis)) {
    for (int axis = 0; axis < 3; ++axis) {
      const double more = displaced(landmark, axis, kDisplacementMm),
                   less = displaced(landmark, axis, -kDisplacementMm);
      const double slope = (more - less) / (2 * kDisplacementMm);
      squares += slope * slope * landmark.sd_mm * landmark.sd_mm;
    }
  }
  return std::sqrt(squares);
}

}  // namespace intercusp
