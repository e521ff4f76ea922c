#include "surgery/imprint_snap.h"

#include <algorithm>
#include <cmath>

namespace intercusp {
namespace {

constexpr double kBetween = 0.15;  ///< arches whose distances differ by less may both be near, mm
constexpr int kSteps = 4;          ///< of a projection
constexpr int kStepsToLook = 1;    ///< of one that is only looked at

}  // namespace

ImprintSnap::ImprintSnap(const SplintParts& parts, const SplintField& field, const SplintSettings& settings)
    : parts_(parts),
      field_(field),
      clearance_(settings.clearance_mm),
      reach_(0.9 * settings.step_mm),
      steps_(settings.to_print ? kSteps : kStepsToLook) {}

SplintPart ImprintSnap::nearest_part(const Vec3& p) const {
  const double body = field_.body(p), upper = clearance_ - parts_.upper->value(p);
  const double lower = clearance_ - parts_.lower->value(p);
  const double tightest = std::max(upper, lower);
  if (tightest < body - 0.02 || tightest < field_.film(p) - 0.02) return SplintPart::outside;
  return upper >= lower ? SplintPart::upper_imprint : SplintPart::lower_imprint;
}

SplintPart ImprintSnap::snap(Vec3f& stored, LastFound& last) const {
  const Vec3 start = stored.cast<double>();
  SplintPart part = nearest_part(start);
  if (part == SplintPart::outside) return part;
  Vec3 p = start;
  for (int step = 0; step < steps_; ++step) {
    const SeatField::Exact upper = near(true, p, last), lower = near(false, p, last);
    const bool is_upper = upper.distance_mm <= lower.distance_mm;
    const SeatField::Exact& tight = is_upper ? upper : lower;
    part = is_upper ? SplintPart::upper_imprint : SplintPart::lower_imprint;
    const double off = clearance_ - tight.distance_mm;
    if (std::abs(off) < 2e-4) break;
    p += off * tight.away;
    const Vec3 moved = p - start;
    if (moved.norm() > reach_) p = start + moved * (reach_ / moved.norm());
  }
  stored = p.cast<float>();
  return part;
}

SplintPart ImprintSnap::nearer_arch(const Vec3& p) const {
  return parts_.upper->value(p) <= parts_.lower->value(p) ? SplintPart::upper_imprint : SplintPart::lower_imprint;
}

bool ImprintSnap::between_arches(const Vec3& p) const {
  return std::abs(parts_.upper->value(p) - parts_.lower->value(p)) < kBetween;
}

double ImprintSnap::off_by(const Vec3& p, SplintPart part, LastFound& last, Vec3& onto) const {
  const bool upper = part == SplintPart::upper_imprint;
  const SeatField::Exact found = (upper ? *parts_.upper : *parts_.lower).exact(p, upper ? &last.upper : &last.lower);
  const double off = clearance_ - found.distance_mm;
  onto = p + off * found.away;
  return off;
}

Vec3 ImprintSnap::push(const Vec3& p, LastFound& last) const {
  Vec3 by = Vec3::Zero();
  for (const bool upper : {true, false}) {
    const SeatField::Exact found = near(upper, p, last);
    if (found.distance_mm < clearance_ - kTooNear) by += (clearance_ - found.distance_mm) * found.away;
  }
  return by;
}

SeatField::Exact ImprintSnap::near(bool upper, const Vec3& p, LastFound& last) const {
  const SeatField& seat = upper ? *parts_.upper : *parts_.lower;
  const double coarse = seat.value(p);
  if (coarse < clearance_ + 0.15) return seat.exact(p, upper ? &last.upper : &last.lower);
  SeatField::Exact far;
  far.distance_mm = coarse;
  return far;
}

}  // namespace intercusp
