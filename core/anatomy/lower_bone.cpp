// The plain mandible; places as in the plain upper jaw. The height of the body, the ramus and the angle follow the
// cephalometric means that the tests name; the canal runs where Sci. reports put it (4 to 6 mm from the outer plate in
// the body, 3 mm at its entrance: 314 CBCT, medians).
#include "anatomy/bone_solids.h"
#include "anatomy/tooth_roots.h"

namespace intercusp {

namespace {

class LowerBuilder {
 public:
  LowerBuilder(const SeatedArches& arches, const SkullPattern& pattern)
      : arches_(arches), bone_{SolidProgram([pattern](const Vec3& p) { return pattern.plain_lower(p); }), 0} {}

  BoneSolid run() {
    add_body();
    add_chin();
    add_ramus();
    add_condyle();
    add_alveolar_part();
    add_lingula();
    bone_.before_canals = bone_.solid.steps();
    const Canal canal = mandibular_canal();
    bone_.solid.cut(std::make_unique<Tube>(canal.knots, Vec3(0.1, 0.2, 1), canal.radius_mm), 0.4);
    bone_.solid.finish();
    return std::move(bone_);
  }

 private:
  void add(ShapePtr shape, double blend, Space space = Space::plain) {
    bone_.solid.add(std::move(shape), blend, space);
  }
  static ShapePtr tube(const std::vector<TubeKnot>& knots, const Vec3& up, double cap_mm) {
    return std::make_unique<Tube>(knots, up, cap_mm);
  }

  void add_body() {
    const Vec3 up = Vec3::UnitZ();
    add(tube({{{-12, 9.8, -28.8}, 6.2, 10.2},
              {{0, 9.4, -29.4}, 6, 10.6},
              {{12, 9.8, -28.8}, 6.2, 10.2},
              {{19.4, 16.4, -26.8}, 5.8, 9.8},
              {{25.5, 29, -23.2}, 5.6, 9.8},
              {{30.5, 41, -18.6}, 5.8, 10},
              {{36, 53, -13}, 5.4, 10.5},
              {{42, 65, -6}, 4.4, 11},
              {{44.8, 73, -2}, 3.6, 10.5}},
             up, 5),
        3);
    // Ridge from the buccal shelf to the front border of the ramus.
    add(tube({{{29.5, 38, -12}, 3.4, 3.4},
              {{33.6, 47, -8.5}, 3.6, 3.6},
              {{38, 55.5, -1}, 3.2, 3.4},
              {{41, 60, 9}, 2.6, 3}},
             up, 3),
        4);
    add(tube({{{24, 40, -14}, 2.8, 3}, {{29, 50, -9.5}, 3, 3.2}, {{34.5, 57, -4}, 2.6, 3}}, up, 3), 4);
  }

  void add_chin() {
    add(std::make_unique<Ellipsoid>(Vec3(0, 8.3, -32.6), Vec3(9.5, 5.2, 6)), 4);
    add(std::make_unique<Ellipsoid>(Vec3(10, 9.8, -35), Vec3(5.5, 4.2, 4)), 4);
    add(tube({{{1.2, 13, -31}, 1.8, 2}, {{1.4, 16.6, -31.5}, 1.1, 1.6}}, Vec3::UnitZ(), 1.2),
        2);  // where the tongue's muscles begin
  }

  void add_ramus() {
    SheetForm ramus;
    ramus.origin = Vec3(45.6, 72, 10);
    ramus.outline = {{-20, -28}, {-15, -19}, {-13.5, -6}, {-10.5, 6}, {-9.6, 18}, {-8.8, 27}, {-6.6, 30.2},
                     {-3.8, 28}, {0, 21.5},  {4.6, 18.6}, {9.6, 22},  {11.6, 26}, {17.6, 26}, {18.4, 21},
                     {17, 10},   {15.4, -2}, {13, -12},   {7.6, -20}, {0, -25.4}, {-11, -31}};
    ramus.bend = {0, 0.20, 0.05, -0.003, 0, 0};
    ramus.thick = {7.4, 0.03, -0.06};
    ramus.edge_mm = 3.4;
    add(std::make_unique<Sheet>(ramus), 4);
    add(tube({{{42.5, 64, 12}, 2.5, 3}, {{44.2, 66, 26}, 2.2, 3}, {{45.4, 66.4, 36}, 1.6, 2.4}}, Vec3::UnitY(), 2),
        3);  // coronoid
    add(tube({{{46.8, 82, 2}, 3, 4}, {{48.6, 84.6, 16}, 3.2, 4}, {{50, 86, 28}, 4, 3.6}}, Vec3::UnitY(), 3),
        3);  // hind border
  }

  void add_condyle() {
    const CondyleForm c = CondyleForm::plain();
    add(tube({{{49.6, 86.2, 26}, 4, 3.4}, {{50.6, 86.4, 33}, 6, 3.2}, {Vec3(c.centre + Vec3(-0.2, 0, -1.5)), 8.2, 3.4}},
             Vec3::UnitY(), 2),
        3);
    add(std::make_unique<Ellipsoid>(c.centre, c.radii, c.axes), 2);
  }

  void add_alveolar_part() {
    add_bone_around(bone_.solid, arches_.lower, Vec3(1.3, 1.8, 1.8), 3.5);
    add(ridge_between(arches_.lower, 0.6, 0.42), 3.5, Space::patient);
    add(ridge_between(arches_.lower, 1.0, 0.34), 4.5, Space::patient);
    add(ridge_between(arches_.lower, 1.2, 0.24), 4.5, Space::patient);
  }

  /// The bony tongue in front of the canal's entrance.
  void add_lingula() {
    add(tube({{{42.2, 69.6, 3.4}, 1.8, 2.2}, {{40.8, 71.4, 6}, 1.3, 1.7}, {{40.2, 73, 8.4}, 0.8, 0.9}}, Vec3::UnitY(),
             0.8),
        1.6);
  }

  const SeatedArches& arches_;
  BoneSolid bone_;
};

}  // namespace

Canal mandibular_canal() {
  Canal canal;
  canal.radius_mm = 1.5;
  for (const Vec3& at : {Vec3(36.6, 77.5, 9), Vec3(42.3, 75.5, 5), Vec3(45, 71.6, 0), Vec3(42, 63.5, -7.5),
                         Vec3(36, 53.5, -14.5), Vec3(30, 42, -21), Vec3(25.2, 31, -25.4), Vec3(24.4, 25.5, -25.4),
                         Vec3(26.4, 22.8, -23.4), Vec3(32, 20.4, -21)})
    canal.knots.push_back({at, canal.radius_mm, canal.radius_mm});
  return canal;
}

BoneSolid lower_bone_solid(const SeatedArches& arches, const SkullPattern& pattern) {
  return LowerBuilder(arches, pattern).run();
}

}  // namespace intercusp
