#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geometry/surface.h"

namespace intercusp {

/// A body and where it stands, patient frame.
struct PosedBone {
  SurfacePtr surface;
  Pose pose = Pose::Identity();
};

/// Gaps between a condyle and its fossa in the sagittal slice through the condyle's centre, mm; empty where the slice
/// meets no fossa there.
struct JointSpaces {
  std::optional<double> anterior, superior, posterior;
};

/// A published mean and spread.
struct JointNorm {
  double mean, sd;
};
/// Optimal joint spaces, 24 joints on CBCT: Ikeda and Kawamura 2009, AJODO 135:495-501.
constexpr JointNorm kAnteriorSpace{1.3, 0.2}, kSuperiorSpace{2.5, 0.5}, kPosteriorSpace{2.1, 0.3};
constexpr char kJointSpaceSource[] = "Ikeda and Kawamura 2009, AJODO 135:495-501";

/// Superior: straight up from the highest point of the condyle to the fossa's roof. Anterior and posterior: the lines
/// from that point of the roof that graze the condyle in front and behind touch it in a point each; from there the gap
/// at right angles to the line (how Ikeda and Kawamura measured, from memory). `condyle` is the bone that carries it,
/// `centre` its centre; only the outline within 15 mm of the centre counts. O(k log n) for the slices.
JointSpaces joint_spaces(const PosedBone& condyle, const Vec3& centre, const std::vector<PosedBone>& skull);

/// Distance from `from` along `direction` to the fossa in the sagittal slice through `from`; empty when nothing is met
/// within 15 mm.
std::optional<double> gap_along(const Vec3& from, const Vec3& direction, const std::vector<PosedBone>& skull);

}  // namespace intercusp
