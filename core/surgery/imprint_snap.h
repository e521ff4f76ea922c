// Where a point of a splint belongs on the exact imprint of an arch, and how far it is off.
#pragma once

#include "surgery/splint_solid.h"

namespace intercusp {

/// Where the last answers of both arches lay: the next ones are mostly near.
struct LastFound {
  std::uint32_t upper = SeatField::kAnywhere, lower = SeatField::kAnywhere;
};

/// A point moved onto the imprint that it belongs to, where it belongs to one. Keeps references: parts and field
/// outlive it.
class ImprintSnap {
 public:
  /// What stands this much nearer to a tooth than the clearance is pushed off, mm.
  static constexpr double kTooNear = 0.012;

  ImprintSnap(const SplintParts& parts, const SplintField& field, const SplintSettings& settings);

  /// Steps onto the exact imprints; stays within reach of where it began.
  SplintPart snap(Vec3f& stored, LastFound& last) const;
  /// By the grids alone.
  SplintPart nearer_arch(const Vec3& p) const;
  /// Whether both arches are about as near.
  bool between_arches(const Vec3& p) const;
  /// How far a point is off the imprint named, mm (positive: too near to the arch), and where it belongs.
  double off_by(const Vec3& p, SplintPart part, LastFound& last, Vec3& onto) const;
  /// How a point must move to stand off both arches; zero where it does.
  Vec3 push(const Vec3& p, LastFound& last) const;

 private:
  /// Which surface bounds the splint at `p`, by the grids alone.
  SplintPart nearest_part(const Vec3& p) const;
  /// Exact only where it can matter.
  SeatField::Exact near(bool upper, const Vec3& p, LastFound& last) const;

  const SplintParts& parts_;
  const SplintField& field_;
  double clearance_, reach_;
  int steps_;
};

}  // namespace intercusp
