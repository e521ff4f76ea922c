#include "occlusion/tooth_offsets.h"

#include <cassert>

namespace intercusp {
namespace {

constexpr double kEqualOffsetsMm = 1e-6;

}  // namespace

Vec3 ToothOffset::direction(const MeasureInput& in) const {
  switch (along) {
    case ReadAlong::forward:
      return in.frame->forward;
    case ReadAlong::up:
      return in.frame->up;
    case ReadAlong::left:
      return in.frame->left;
    case ReadAlong::right:
      break;
  }
  return -in.frame->left;
}

double ToothOffset::value(const MeasureInput& in) const {
  return (point_of(in, to) - point_of(in, from)).dot(direction(in));
}

Names points_of(const std::vector<ToothOffset>& offsets) {
  Names out;
  for (const ToothOffset& o : offsets) {
    out.push_back(o.to);
    out.push_back(o.from);
  }
  return out;
}

Names missing_offsets(const MeasureInput& in, const std::vector<ToothOffset>& offsets) {
  Names fewest;
  for (const ToothOffset& o : offsets) {
    const Names lacks = absent(in, {o.to, o.from});
    if (lacks.empty()) return absent_with_frame(in, {});
    if (fewest.empty() || lacks.size() < fewest.size()) fewest = lacks;
  }
  return absent_with_frame(in, fewest);
}

MeasureValue measure_offsets(const MeasureInput& in, const std::vector<ToothOffset>& offsets, bool least) {
  const ToothOffset* worst = nullptr;
  MeasureValue v;
  for (const ToothOffset& o : offsets) {
    if (!o.placed(in)) continue;
    const double value = o.value(in);
    v.pairs.push_back({o.between, value});
    const double worse = least ? v.value - value : value - v.value;
    if (worst && worse <= kEqualOffsetsMm) continue;
    worst = &o;
    v.value = value;
  }
  assert(worst);
  v.uncertainty =
      propagated_sd(in, {worst->to, worst->from}, [worst](const MeasureInput& x) { return worst->value(x); });
  const Vec3 &to = point_of(in, worst->to), &from = point_of(in, worst->from);
  const Vec3 foot = to - v.value * worst->direction(in);
  v.construct = {
      {"distance", {foot, to}, worst->between}, {"line", {foot, from}, ""}, {"point", {to}, ""}, {"point", {from}, ""}};
  return v;
}

}  // namespace intercusp
