// The roots of the teeth, with the lengths of the tooth table, and the bone that holds them.
#pragma once

#include "anatomy/arch_layout.h"
#include "anatomy/solid_program.h"

namespace intercusp {

/// One root, or the trunk from which several spring: patient frame, from the neck (a little inside the crown) to the
/// tip. The last knot lies `tip_mm` short of the apex.
struct RootForm {
  std::vector<TubeKnot> knots;
  Vec3 up = Vec3::UnitY();  ///< direction of the sections' height: towards the cheek
  Vec3 neck = Vec3::Zero(), apex = Vec3::Zero();
  double tip_mm = 0.7;
  bool trunk = false;
};

/// Every root of a tooth (trunk first where there are several). Apices are the tooth's landmarks; outlines drawn by eye
/// after the textbook pictures, sections at the neck those of the crown.
std::vector<RootForm> roots_of(const ArchTooth& tooth);

/// The roots of one arch as surfaces, closed tooth by tooth: a mesh of as many parts as the arch has teeth. `step`:
/// grid in mm. Roots that would reach into each other give way half and half. O(surface / step^2).
Mesh root_mesh(const ArchTeeth& teeth, double step);

/// A root thickened by the bone around it, from `below_neck_mm` apical of the neck to `beyond_mm` past the apex.
ShapePtr bone_around(const RootForm& root, double wall_mm, double below_neck_mm, double beyond_mm);

/// Adds the bone around every root to a solid in patient space, blended by `blend_mm`: from the midline outwards, the
/// front teeth of both sides in pairs, so that mirrored arches give mirrored bone.
void add_bone_around(SolidProgram& solid, const ArchTeeth& teeth, const Vec3& wall_neck_beyond_mm, double blend_mm);

/// The bone that fills the row between the roots: its middle lies at `depth` of the roots' length (0 neck, 1 apex), its
/// half height is `height` of it.
ShapePtr ridge_between(const ArchTeeth& teeth, double depth, double height);

}  // namespace intercusp
