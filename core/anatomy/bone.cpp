#include "anatomy/bone.h"

#include <algorithm>
#include <cmath>

#include "anatomy/crown_marks.h"
#include "anatomy/solid_shapes.h"
#include "anatomy/vertex_snap.h"

namespace intercusp {

namespace {

/// How far skull and mandible stand from their average places against the upper teeth, mm backwards.
struct Relation {
  double skull = 0;      ///< cranium and condyles
  double mandible = 0;   ///< body of the mandible
  double chin_down = 0;  ///< with the height of the lower front teeth
};

Relation relation_of(const SampleJaws& jaws) {
  const double from_usual = jaws.truth.at("overjet") - 2.5;
  const double low = std::clamp(2.5 - jaws.truth.at("overbite"), -3.0, 7.0);
  return {std::min(from_usual, 0.0), from_usual, 0.6 * low};
}

MirroredSolid upper_solid() {
  MirroredSolid s;
  s.blend_mm = 4;
  const std::vector<Vec3> ridge{{0, 6.5, 20}, {9, 8.5, 20}, {17, 15, 20}, {21.5, 25, 20}, {24, 36, 20}, {25, 49, 20}};
  for (std::size_t i = 0; i + 1 < ridge.size(); ++i) s.rods.push_back({ridge[i], ridge[i + 1], 5.5, 5.5});
  s.boxes.push_back({Vec3(-22, 8, 23.5), Vec3(22, 53, 29.5), 2.5});    // hard palate
  s.boxes.push_back({Vec3(13, 14, 20), Vec3(33, 50, 50), 8});          // body with its sinus
  s.rods.push_back({Vec3(13, 11, 26), Vec3(9, 10, 62), 4.5, 3.5});     // frontal process
  s.rods.push_back({Vec3(27, 22, 44), Vec3(37, 28, 43), 8, 5});        // zygomatic process
  s.rods.push_back({Vec3(0, 8, 27.5), Vec3(0, 3.2, 30), 3.2, 1.6});    // anterior nasal spine
  s.rods.push_back({Vec3(0, 48, 28.5), Vec3(0, 54.5, 30), 2.8, 1.6});  // posterior nasal spine
  return s;
}

MirroredSolid lower_solid(const Relation& r) {
  MirroredSolid s;
  s.blend_mm = 5;
  const double b = r.mandible, down = -r.chin_down;
  const Vec3 chin(0, 17.5 + b, -28 + down), canine(17, 21 + b, -26 + down), molar(30, 44 + b, -21 + 0.6 * down);
  const Vec3 angle(45, 76 + 0.5 * b, -3), neck(49, 82 + r.skull, 36), condyle(51, 84 + r.skull, 48);
  const Vec3 retromolar(37, 62 + 0.7 * b, -6), coronoid(46, 60 + r.skull, 44);
  s.rods = {{chin, canine, 8.5, 7.5},         {canine, molar, 7.5, 7.5},
            {molar, angle, 7.5, 5.5},         {angle, neck, 5, 4},
            {retromolar, angle, 5.5, 5},      {molar, retromolar, 7, 5.5},
            {retromolar, coronoid, 4.5, 2.6}, {angle, coronoid, 4.5, 2.4},
            {neck, condyle, 3.8, 4}};
  // Alveolar part under the gum, and the flat of the ramus.
  const Vec3 front = Vec3(0, 14 + b, -19.5), side(18, 20 + b, -19.5), back(27, 44 + b, -18);
  s.rods.insert(s.rods.end(), {{front, side, 4.5, 4.5}, {side, back, 4.5, 5}, {back, retromolar, 5, 5}});
  s.rods.push_back({Vec3(45.5, 70 + 0.5 * r.skull, 2), Vec3(47.5, 72 + r.skull, 30), 5, 4.5});
  s.rods.push_back({Vec3(0, 13.5 + b, -29 + down), Vec3(6, 14.5 + b, -29 + down), 4.5, 3.5});  // mental protuberance
  s.ellipsoids.push_back({condyle, Vec3(9.5, 4.5, 5)});
  return s;
}

MirroredSolid cranium_solid(const Relation& r) {
  MirroredSolid s;
  s.blend_mm = 5;
  const double k = r.skull;
  s.boxes.push_back({Vec3(-58, 22 + k, 66), Vec3(58, 108 + k, 84), 7});      // base
  s.boxes.push_back({Vec3(-46, 4 + k, 68), Vec3(46, 40 + k, 96), 9});        // forehead
  s.rods.push_back({Vec3(0, 10 + k, 84), Vec3(4, 9 + k, 74), 7, 5});         // root of the nose
  s.rods.push_back({Vec3(44, 17 + k, 72), Vec3(39, 22 + k, 54), 4.5, 5});    // outer rim of the orbit
  s.rods.push_back({Vec3(39, 22 + k, 52), Vec3(59, 54 + k, 50), 4.5, 3.2});  // zygomatic arch
  s.rods.push_back({Vec3(59, 54 + k, 50), Vec3(58, 88 + k, 62), 3.2, 5});
  s.rods.push_back({Vec3(33, 19.5 + k, 55), Vec3(39, 22 + k, 54), 3, 4.5});  // lower rim of the orbit
  s.rods.push_back({Vec3(14, 60 + k, 70), Vec3(13, 57.5 + k, 26), 5, 2.8});  // pterygoid process
  s.rods.push_back({Vec3(18, 63 + k, 68), Vec3(19, 60 + k, 30), 4, 2.2});
  s.boxes.push_back({Vec3(40, 76 + k, 55), Vec3(62, 106 + k, 76), 6});  // temporal bone
  s.hollows.push_back({Vec3(51, 84 + k, 48), Vec3(12.5, 7.6, 8)});      // fossa of the joint
  s.hollows.push_back({Vec3(66, 97 + k, 57), Vec3(10, 3, 3)});          // ear canal
  return s;
}

/// First place of the solid seen from far away, looking along `direction` through `through`.
Vec3 seen(const ScalarField& solid, const Vec3& through, const Vec3& direction) {
  constexpr double kFar = 60;
  const double t = surface_along(solid, through - kFar * direction, direction, 2 * kFar);
  return t < 0 ? through : Vec3(through + (t - kFar) * direction);
}

const Vec3 kBack = Vec3::UnitY(), kForward = -Vec3::UnitY(), kUp = Vec3::UnitZ(), kDown = -Vec3::UnitZ();

void mark_upper(LandmarkSet& set, const MirroredSolid& bone) {
  set["ANS"].at = seen(bone, Vec3(0, 0, 30), kBack);
  set["PNS"].at = seen(bone, Vec3(0, 54, 30), kForward);
  set["A"].at = seen(bone, Vec3(0, 6, 24.3), kBack);
}

void mark_lower(LandmarkSet& set, const MirroredSolid& bone, const Relation& r) {
  const double down = -r.chin_down;
  set["B"].at = seen(bone, Vec3(0, 10, -22.5 + down), kBack);
  set["Pog"].at = seen(bone, Vec3(0, 10, -29 + down), kBack);
  set["Me"].at = seen(bone, Vec3(0, 17 + r.mandible, -36 + down), kUp);
  const Vec3 between = (kBack + kUp).normalized();
  set["Gn"].at = seen(bone, 0.5 * (set["Pog"].at + set["Me"].at), between);
  for (const double side : {1.0, -1.0}) {
    const std::string tail = side > 0 ? "_left" : "_right";
    const Vec3 condyle(51 * side, 84 + r.skull, 48);
    set["condyle_centre" + tail].at = condyle;
    set["Co" + tail].at = seen(bone, condyle, (kForward + 2 * kDown).normalized());
    set["Go" + tail].at = seen(bone, Vec3(45 * side, 76 + 0.5 * r.mandible, -3), (kForward + kUp).normalized());
  }
}

void mark_cranium(LandmarkSet& set, const MirroredSolid& bone, const Relation& r) {
  set["N"].at = seen(bone, Vec3(0, 4 + r.skull, 80), kBack);
  set["S"].at = Vec3(0, 73 + r.skull, 78);
  for (const double side : {1.0, -1.0}) {
    const std::string tail = side > 0 ? "_left" : "_right";
    set["Or" + tail].at = seen(bone, Vec3(35 * side, 19 + r.skull, 55), kDown);
    set["Po" + tail].at = seen(bone, Vec3(60.5 * side, 97 + r.skull, 57), kUp);
  }
}

SampleBody bone_body(const std::string& name, const MirroredSolid& solid, const Vec3& inside, std::size_t triangles,
                     const LandmarkSet& marks) {
  SampleBody body{name, polygonise_to_count(solid, solid.box(), triangles, inside)};
  std::vector<Vec3> points;
  for (const auto& [mark, landmark] : marks)
    if (std::abs(solid.value(landmark.at)) < 1e-6) points.push_back(landmark.at);
  snap_vertices(body.mesh, points);
  body.mesh.colours.assign(body.mesh.positions.size(), Colour{232, 220, 190, 255});
  return body;
}

}  // namespace

void add_bone(SampleJaws& jaws) {
  const Relation r = relation_of(jaws);
  const MirroredSolid upper = upper_solid(), lower = lower_solid(r), cranium = cranium_solid(r);
  LandmarkSet upper_marks, lower_marks, cranium_marks;
  mark_upper(upper_marks, upper);
  mark_lower(lower_marks, lower, r);
  mark_cranium(cranium_marks, cranium, r);
  const std::size_t triangles = std::clamp<std::size_t>(jaws.recipe.triangles / 4, 8000, 60000);
  jaws.bodies.push_back(bone_body("upper_bone", upper, Vec3(0, 20, 26.5), triangles, upper_marks));
  const Vec3 chin(0, 17.5 + r.mandible, -28 - r.chin_down);
  jaws.bodies.push_back(bone_body("lower_bone", lower, chin, triangles, lower_marks));
  jaws.bodies.push_back(bone_body("cranium", cranium, Vec3(0, 60 + r.skull, 75), triangles, cranium_marks));
  for (const LandmarkSet& marks : {upper_marks, lower_marks, cranium_marks})
    jaws.landmarks.insert(marks.begin(), marks.end());
}

}  // namespace intercusp
