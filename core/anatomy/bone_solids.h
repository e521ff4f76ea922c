// The bones of the jaws as implicit solids, from the plain skull and the patient's own teeth.
#pragma once

#include "anatomy/seating.h"
#include "anatomy/skull_pattern.h"
#include "anatomy/solid_program.h"

namespace intercusp {

/// A bone and how it was before its canals and openings were bored: on that earlier surface lies the centre of the
/// mouth of each canal.
struct BoneSolid {
  SolidProgram solid;
  std::size_t before_canals = 0;
};

/// Course of a canal in the plain skull, left side, with its radius.
struct Canal {
  std::vector<TubeKnot> knots;
  double radius_mm = 1.5;
};
Canal infraorbital_canal();
Canal palatine_canal();
Canal mandibular_canal();
Canal ear_canal();

/// Centre, half axes and axes of the left condyle in the plain skull. The joint spaces follow Ikeda & Kawamura 2009
/// (AJODO 135:495-501) and Ikeda et al. 2011 (J Prosthodont 20).
struct CondyleForm {
  Vec3 centre{51, 86, 39.3}, radii{9.6, 4.3, 4.9};
  Mat3 axes = Mat3::Identity();
  static CondyleForm plain();
};

/// Upper jaw with nose, orbits, cheekbones and the base of the skull: one bone until it is cut. Limited as a CT of the
/// face is, above the brows and behind the ears. `thinnest_mm`: no wall is made thinner (what the grid can show).
BoneSolid upper_bone_solid(const SeatedArches& arches, const SkullPattern& pattern, double thinnest_mm);
BoneSolid lower_bone_solid(const SeatedArches& arches, const SkullPattern& pattern);

/// The one closed surface of a bone on a grid of `step` mm; `inside`: a place within the bone. O(surface / step^2).
Mesh bone_surface(const BoneSolid& bone, const SkullPattern& pattern, double step, const Vec3& inside);

}  // namespace intercusp
