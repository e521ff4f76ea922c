#include <algorithm>
#include <cmath>

#include "occlusion/groups.h"
#include "occlusion/reading.h"

namespace intercusp {
namespace {

const Names& head_points() {
  static const Names names = {"Po_right", "Po_left", "Or_right", "Or_left"};
  return names;
}
const Names& molar_tips() {
  static const Names names = {tooth_point(16, "mesiobuccal_cusp"), tooth_point(26, "mesiobuccal_cusp")};
  return names;
}

// Axes of the head: l the normal of the midsagittal plane, f forward in the Frankfort plane, u = f x l.
struct HeadAxes {
  Vec3 left, forward, up;
};

HeadAxes head_axes(const MeasureInput& in) {
  const Names& n = head_points();
  const Vec3 left = in.midsagittal->second;
  const Vec3 ahead = 0.5 * (point_of(in, n[2]) + point_of(in, n[3])) - 0.5 * (point_of(in, n[0]) + point_of(in, n[1]));
  const Vec3 forward = (ahead - left * left.dot(ahead)).stableNormalized();
  return {left, forward, forward.cross(left)};
}

double cant_of(const MeasureInput& in) {
  const HeadAxes head = head_axes(in);
  const Vec3 across = point_of(in, molar_tips()[1]) - point_of(in, molar_tips()[0]);
  return degrees(std::atan2(-across.dot(head.up), across.dot(head.left)));
}

double yaw_of(const MeasureInput& in) {
  const HeadAxes head = head_axes(in);
  return degrees(std::atan2(in.frame->forward.dot(head.left), in.frame->forward.dot(head.forward)));
}

// Without a skull the plane alone is named: a case of scans lacks nothing that could be placed.
Names missing_head(const MeasureInput& in, bool cant) {
  if (!in.midsagittal) return {"midsagittal plane"};
  Names out = cant ? absent(in, molar_tips()) : absent_with_frame(in, {});
  for (const std::string& name : absent(in, head_points())) out.push_back(name);
  return out;
}

MeasureValue measure_cant(const MeasureInput& in) {
  MeasureValue v;
  v.value = cant_of(in);
  Names names = head_points();
  names.insert(names.end(), molar_tips().begin(), molar_tips().end());
  v.uncertainty = propagated_sd(in, names, cant_of);
  const Vec3 &right = point_of(in, molar_tips()[0]), &left = point_of(in, molar_tips()[1]);
  v.construct = {{"line", {right, left}, ""},
                 {"line", {right, right + (left - right).norm() * head_axes(in).left}, "level"}};
  return v;
}

MeasureValue measure_yaw(const MeasureInput& in) {
  MeasureValue v;
  v.value = yaw_of(in);
  v.uncertainty = propagated_sd(in, head_points(), yaw_of);
  constexpr double kDrawnMm = 40;
  const Vec3& front = in.frame->origin;
  v.construct = {{"line", {front - kDrawnMm * in.frame->forward, front}, "arch"},
                 {"line", {front - kDrawnMm * head_axes(in).forward, front}, "head"}};
  return v;
}

constexpr const char* kHeadWords =
    "Axes of the head: l is the normal of the midsagittal plane to the patient's left; f is the direction from the "
    "midpoint of both porions (Po) to that of both orbitales (Or), without its part along l; u = f x l (Frankfort "
    "horizontal). The midsagittal plane is taken as exact. ";

}  // namespace

std::vector<MeasureDefinition> head_measures() {
  MeasureDefinition cant, yaw;
  cant.id = "occlusal_cant";
  cant.name = "Cant of the upper arch";
  cant.definition =
      std::string(kHeadWords) +
      "The angle of the line from 16.mesiobuccal_cusp to 26.mesiobuccal_cusp to l, seen along f; positive "
      "where the left end is lower.";
  cant.positive = "left side down";
  cant.sides = BriefSides{"L down", "R down"};
  cant.negative = "right side down";
  cant.needs = molar_tips();
  cant.missing = [](const MeasureInput& in) { return missing_head(in, true); };
  cant.measure = measure_cant;
  yaw.id = "occlusal_yaw";
  yaw.name = "Yaw of the upper arch";
  yaw.definition = std::string(kHeadWords) +
                   "The angle of the forward direction of the maxillary occlusal frame to f, seen along u; positive "
                   "where the arch points to the patient's left.";
  yaw.positive = "front to the patient's left";
  yaw.sides = BriefSides{"L", "R"};
  yaw.negative = "front to the patient's right";
  yaw.missing = [](const MeasureInput& in) { return missing_head(in, false); };
  yaw.measure = measure_yaw;
  std::vector<MeasureDefinition> out = {cant, yaw};
  for (MeasureDefinition& d : out) {
    d.needs.insert(d.needs.end(), head_points().begin(), head_points().end());
    d.unit = "deg";
    d.group = "arch and head";
    d.source = "common practice, no source";
    d.usual = {{-2.0, 2.0}};
    d.usual_source = "common practice, no source";
  }
  return out;
}

}  // namespace intercusp
