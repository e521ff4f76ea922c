#include "occlusion/tooth_offsets.h"

#include <cassert>

#include "anatomy/notation.h"

namespace intercusp {
namespace {

constexpr double kEqualOffsetsMm = 1e-6;

Names contact_ends(int tooth) {
  return {tooth_point(tooth, "contact_mesial"), tooth_point(tooth, "contact_distal")};
}

}  // namespace

Vec3 ToothOffset::direction(const MeasureInput& in) const {
  if (along == ReadAlong::forward) return in.frame->forward;
  if (along == ReadAlong::up) return in.frame->up;
  const bool right = is_right(lower_tooth);
  const Names ends = contact_ends(lower_tooth);
  if (!absent(in, ends).empty()) return right ? Vec3(-in.frame->left) : in.frame->left;
  const Vec3& up = in.frame->up;
  const Vec3 line = point_of(in, ends[0]) - point_of(in, ends[1]);
  const Vec3 out = right ? line.cross(up) : up.cross(line);
  return out.stableNormalized();
}

Names ToothOffset::read() const {
  Names out = {to, from};
  if (along != ReadAlong::outwards) return out;
  for (const std::string& name : contact_ends(lower_tooth)) out.push_back(name);
  return out;
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
  v.uncertainty = propagated_sd(in, worst->read(), [worst](const MeasureInput& x) { return worst->value(x); });
  const Vec3 &to = point_of(in, worst->to), &from = point_of(in, worst->from);
  const Vec3 foot = to - v.value * worst->direction(in);
  v.construct = {
      {"distance", {foot, to}, worst->between}, {"line", {foot, from}, ""}, {"point", {to}, ""}, {"point", {from}, ""}};
  return v;
}

}  // namespace intercusp
