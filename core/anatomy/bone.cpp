#include "anatomy/bone.h"

#include <algorithm>
#include <cmath>

#include "anatomy/bone_landmarks.h"
#include "anatomy/tooth_roots.h"
#include "anatomy/vertex_snap.h"
#include "geometry/largest_part.h"

namespace intercusp {

namespace {

/// Grids that give about the number of triangles asked for, mm.
double step_for(double area_mm2, double triangles) {
  return std::sqrt(2.75 * area_mm2 / triangles);
}

constexpr double kUpperArea = 78500, kLowerArea = 20000, kRootArea = 4400;

Mesh one_surface(const ScalarField& solid, const Box& box, double step, const Vec3& inside) {
  Mesh mesh = polygonise(solid, box, step, inside);
  keep_largest_part(mesh);  // filling thin gaps can leave a bubble inside
  return mesh;
}

/// Bone and the crowns that stand in it as one solid.
class BoneWithCrowns : public ScalarField {
 public:
  BoneWithCrowns(const ScalarField& bone, const ArchField& arch) : bone_(bone), arch_(arch) {}
  double value(const Vec3& p) const override { return std::min(bone_.value(p), arch_.crowns(p)); }

 private:
  const ScalarField& bone_;
  const ArchField& arch_;
};

/// `crowns`: of the arch that stands in it, to be shown as well; or null.
Mesh marked_surface(const BoneSolid& bone, const SkullPattern& pattern, double step, const Vec3& inside,
                    const LandmarkSet& marks, const ArchField* crowns) {
  const Box box = bone.solid.box(pattern.reach_mm());
  Mesh mesh = crowns ? one_surface(BoneWithCrowns(bone.solid, *crowns), box.merged(crowns->box()), step, inside)
                     : one_surface(bone.solid, box, step, inside);
  std::vector<Vec3> points;
  for (const auto& [name, landmark] : marks)
    if (std::abs(bone.solid.value(landmark.at)) < 1e-6) points.push_back(landmark.at);
  // Where two surfaces run close together, vertices that follow one can pass through the other.
  snap_and_untangle(mesh, points);
  return mesh;
}

SampleBody painted(const std::string& name, Mesh mesh, const Colour& colour) {
  mesh.colours.assign(mesh.positions.size(), colour);
  return {name, std::move(mesh)};
}

/// Both bones, with walls in the upper one that a grid of this step can show.
struct BothBones {
  SkullPattern pattern;
  BoneSolid upper, lower;
  LandmarkSet upper_marks, lower_marks;

  BothBones(const JawRecipe& recipe, const SeatedArches& arches, double upper_step)
      : pattern(SkullPattern::of(recipe)),
        upper(upper_bone_solid(arches, pattern, kStepsThick * upper_step)),
        lower(lower_bone_solid(arches, pattern)) {
    mark_upper_bone(upper_marks, upper, pattern);
    const PlacedTooth& incisor = tooth_of(arches.lower, 41).placed;
    const double crest_z = std::floor(incisor.world(Vec3(0, 0, -incisor.form.crown_length - 4)).z() * 100) / 100;
    mark_lower_bone(lower_marks, lower, upper, pattern, crest_z);
  }

  static constexpr double kStepsThick = 1.5;
};

}  // namespace

Mesh bone_surface(const BoneSolid& bone, const SkullPattern& pattern, double step, const Vec3& inside) {
  return one_surface(bone.solid, bone.solid.box(pattern.reach_mm()), step, inside);
}

LandmarkSet bone_landmarks(const JawRecipe& recipe, const SeatedArches& arches) {
  const BothBones bones(recipe, arches, 0.5);
  LandmarkSet marks = bones.upper_marks;
  marks.insert(bones.lower_marks.begin(), bones.lower_marks.end());
  return marks;
}

void add_bone(SampleJaws& jaws, const SeatedArches& arches) {
  constexpr Colour kBone{232, 220, 190, 255}, kRoot{226, 206, 150, 255};
  const double asked = jaws.recipe.triangles;
  const double upper_step = step_for(kUpperArea, std::clamp(2.0 * asked, 60000.0, 400000.0));
  const double lower_step = step_for(kLowerArea, std::clamp(asked, 20000.0, 200000.0));
  const double root_step = step_for(kRootArea, std::clamp(0.5 * asked, 15000.0, 60000.0));
  const BothBones b(jaws.recipe, arches, upper_step);
  const Vec3 palate = b.pattern.patient_upper({0, 30, 22}), chin = b.pattern.patient_lower({0, 10, -30});
  const bool crowns = jaws.recipe.crowns_on_bone;
  jaws.bodies.push_back(painted(
      "upper_bone",
      marked_surface(b.upper, b.pattern, upper_step, palate, b.upper_marks, crowns ? &arches.upper_field : nullptr),
      kBone));
  jaws.bodies.push_back(painted(
      "lower_bone",
      marked_surface(b.lower, b.pattern, lower_step, chin, b.lower_marks, crowns ? &arches.lower_field : nullptr),
      kBone));
  jaws.bodies.push_back(painted("upper_roots", root_mesh(arches.upper, root_step), kRoot));
  jaws.bodies.push_back(painted("lower_roots", root_mesh(arches.lower, root_step), kRoot));
  for (const LandmarkSet& marks : {b.upper_marks, b.lower_marks}) jaws.landmarks.insert(marks.begin(), marks.end());
}

}  // namespace intercusp
