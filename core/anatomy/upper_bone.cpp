// The plain upper jaw, nose, orbits and skull base. Places in mm: x to the side (both sides are alike), y back from the
// upper incisal edges, z up from the occlusal plane. Proportions after the cephalometric means that the tests name;
// widths between the adult means of women and men (orbit 40 x 34, bizygomatic 130, piriform aperture 24, from memory);
// shapes drawn by eye after anatomy atlases' general forms.
#include <algorithm>
#include <cmath>

#include "anatomy/bone_solids.h"
#include "anatomy/tooth_roots.h"

namespace intercusp {

namespace {

ShapePtr tube(const std::vector<TubeKnot>& knots, const Vec3& up, double cap_mm) {
  return std::make_unique<Tube>(knots, up, cap_mm);
}

ShapePtr ball(const Vec3& centre, const Vec3& radii) {
  return std::make_unique<Ellipsoid>(centre, radii);
}

ShapePtr box_of(const Vec3& low, const Vec3& high, double edge_mm) {
  return std::make_unique<RoundBox>(low, high, edge_mm);
}

const Vec3 kUpward = Vec3::UnitZ(), kBackward = Vec3::UnitY(), kLeftward = Vec3::UnitX();

class UpperBuilder {
 public:
  UpperBuilder(const SeatedArches& arches, const SkullPattern& pattern, double thinnest_mm)
      : arches_(arches),
        thin_(thinnest_mm),
        bone_{SolidProgram([pattern](const Vec3& p) { return pattern.plain_upper(p); }), 0} {}

  BoneSolid run() {
    add_skull();
    add_temporal();
    add_midface();
    add_cheekbone();
    add_pterygoids();
    hollow_skull();
    add_cheek_arch();
    hollow_joint();
    hollow_orbit();
    hollow_nose();
    add_alveolar_process();
    hollow_sinus();
    add_nose_inside();
    add_spines();
    bore_canals();
    bone_.solid.finish();
    return std::move(bone_);
  }

 private:
  double wall(double mm) const { return std::max(mm, thin_); }

  void add(ShapePtr shape, double blend, Space space = Space::plain) {
    bone_.solid.add(std::move(shape), blend, space);
  }
  void cut(ShapePtr shape, double blend) { bone_.solid.cut(std::move(shape), blend); }

  /// Forehead and the floor of the skull, limited as an image is: above the brows and behind the great foramen.
  void add_skull() {
    add(ball({0, 95, 80}, {68, 84, 58}), 4);
    const Box whole(Vec3(0, 0, 0), Vec3(80, 120, 100));
    bone_.solid.cut(std::make_unique<Hull>(std::vector<Hull::Plane>{{Vec3(0, 0.18, 1), Vec3(0, 10, 63)}}, 1,
                                           Box(Vec3(0, 0, 0), Vec3(80, 180, 70))),
                    3);
    add(ball({0, 15.5, 86}, {24, 6.5, 7}), 5);                                                          // glabella
    add(box_of({-13, 54, 47}, {13, 92, 72}, 4), 4);                                                     // sphenoid
    add(tube({{{0, 84, 60}, 12, 6}, {{0, 91, 45}, 11, 5}, {{0, 97.2, 30}, 9, 3.2}}, kLeftward, 3), 4);  // clivus
    add(box_of({-12.5, 15, 54.5}, {12.5, 60, 74}, 2), 3);                                               // ethmoid
    add(ball({33, 52, 58}, {13, 10, 20}), 4);  // greater wing, behind the orbit
  }

  /// Temporal bone with the root of the zygomatic arch, the eminence and the mastoid.
  void add_temporal() {
    add(box_of({36, 69, 41}, {60, 105, 64}, 6), 6);
    add(tube({{{41, 75.6, 45}, 5, 4.2}, {{51, 75.2, 44.4}, 5, 4.2}, {{60, 75, 45}, 4, 4}}, kUpward, 3), 3);  // eminence
    add(ball({54, 106, 36}, {8, 8, 13}), 4);
    add(ball({55, 98.4, 40}, {6, 6.5, 7.2}), 2);  // around the ear canal
  }

  static std::vector<Hull::Plane> maxilla_planes() {
    return {{Vec3(-1, 0, 0), Vec3(11.8, 0, 0)},             // towards the nose
            {Vec3(0.44, -0.87, 0.10), Vec3(14, 9.5, 34)},   // face
            {Vec3(0.80, 0.60, -0.05), Vec3(28, 43.5, 30)},  // below the temple
            {Vec3(0.12, 1, 0.02), Vec3(18, 51.2, 28)},      // towards the pterygoid plates
            {Vec3(-0.05, 0.10, 1), Vec3(27, 20, 53)},       // floor of the orbit
            {Vec3(0.25, 0, -1), Vec3(22, 30, 19)},
            {Vec3(0.90, 0, -0.42), Vec3(30, 25, 23)}};  // down towards the teeth
  }

  void add_midface() {
    add(std::make_unique<Hull>(maxilla_planes(), 4, Box(Vec3(11, 6, 16), Vec3(45, 53, 58))), 4);
    // The basal arch that carries the alveolar process, and the palate.
    add(tube({{{-12, 12.5, 23.5}, 4.6, 5},
              {{0, 10.2, 23.5}, 4.4, 5.2},
              {{12, 12.5, 23.5}, 4.6, 5},
              {{18, 20, 23}, 5, 5},
              {{22, 32, 22}, 5, 4.5},
              {{22.5, 44, 21}, 4.5, 4.5}},
             kUpward, 4),
        3);
    SheetForm palate;
    palate.e1 = kLeftward;
    palate.e2 = kBackward;
    palate.origin = Vec3(0, 0, 23);
    palate.outline = {{-6, 6}, {6, 6},   {17, 16},    {21, 30},  {21, 46},  {15, 50.5},
                      {6, 50}, {-6, 50}, {-15, 50.5}, {-21, 46}, {-21, 30}, {-17, 16}};
    palate.thick = {10, 0, -0.02};
    add(std::make_unique<Sheet>(palate), 2);
    add(tube({{{12.6, 10.5, 32}, 2.6, 3.2},
              {{11.6, 9.6, 42}, 2.4, 3.4},
              {{9.6, 10.2, 54}, 2.2, 4},
              {{7, 12.5, 68}, 2.6, 4.5},
              {{5.5, 13.5, 76}, 3, 4}},
             kBackward, 3),
        3);  // frontal process
  }

  void add_cheekbone() {
    cut(ball({21, 8.0, 37.5}, {8, 6.8, 9}), 3);  // the hollow beside the canine's root

    add(tube({{{27, 21, 42}, 8, 8}, {{36, 23.5, 44}, 7.5, 8}, {{43, 29, 46}, 5.5, 8}, {{48, 36, 46}, 3.2, 6.5}},
             kUpward, 4),
        4);
    add(tube({{{41, 25.5, 49}, 3.8, 5},
              {{44.5, 27.5, 58}, 3.2, 4.6},
              {{45.5, 27.5, 68}, 3, 4.6},
              {{43, 24.5, 77}, 3.6, 5}},
             kBackward, 4),
        4);  // outer rim of the orbit
    add(tube({{{37, 25, 40}, 4.6, 5}, {{32.5, 27, 31}, 3.6, 4}, {{29.4, 28.5, 22}, 2.4, 3}}, kBackward, 2),
        5);  // buttress
    add(tube({{{12.5, 14.4, 65}, 2.4, 3},
              {{15, 14.4, 58.4}, 2.6, 3},
              {{21, 16.2, 54.4}, 2.5, 3},
              {{28, 18.8, 52.9}, 2.5, 3.2},
              {{35, 21.6, 53.6}, 2.6, 3.4},
              {{41, 24.6, 57.6}, 2.8, 3.6}},
             kBackward, 3),
        3);  // lower rim of the orbit
    add(tube({{{43, 24.5, 76}, 3, 5},
              {{37, 17.5, 82}, 3.4, 5},
              {{28, 12.5, 84}, 3.4, 5},
              {{18, 10.4, 81.5}, 3.4, 5},
              {{12, 12, 75}, 3, 4}},
             kBackward, 3),
        4);  // brow
  }

  void add_cheek_arch() {
    add(tube({{{46, 33, 46}, 3, 6},
              {{55, 44, 45.5}, 2.3, 4.2},
              {{61, 57, 45.5}, 2.1, 3.6},
              {{62, 69, 46.5}, 2.3, 3.6},
              {{60, 80, 49}, 2.8, 4.2},
              {{57, 92, 52}, 3, 5}},
             kUpward, 3),
        3);  // arch
  }

  void add_pterygoids() {
    add(tube({{{17, 62, 50}, 6, 6}, {{17, 60, 40}, 4, 4.5}, {{16.6, 57.4, 31}, 3.4, 3.6}, {{16, 56.6, 25}, 2.6, 2.6}},
             kBackward, 2),
        3);
    SheetForm outer;
    outer.origin = Vec3(18.5, 56, 24);
    outer.outline = {{0, 1}, {4, -1}, {9, 1}, {12.5, 7}, {11.5, 16}, {9, 26}, {2, 27}, {0.5, 14}};
    outer.bend = {-0.5, 0.55, 0, 0.01, 0, 0};
    outer.thick = {wall(1.8), 0, 0};
    outer.edge_mm = 0.8;
    add(std::make_unique<Sheet>(outer), 1.5);
    SheetForm inner = outer;
    inner.origin = Vec3(14, 56, 24);
    inner.outline = {{0, 0}, {4, -2.5}, {6.5, 0}, {7.5, 10}, {8, 26}, {1, 27}, {0, 12}};
    inner.bend = {0, -0.12, 0.02, 0, 0, 0};
    add(std::make_unique<Sheet>(inner), 1.5);
    add(tube({{{13.6, 60, 24}, 1.2, 1.2}, {{14.2, 61.4, 20.5}, 1.1, 1.1}, {{15.6, 62.4, 18.6}, 1, 1}}, kBackward, 1),
        1.2);  // hook
    // Where the tuberosity, the palatine bone and the plates meet.
    add(box_of({12.6, 47.5, 21.5}, {22.2, 57, 36.5}, 2.2), 1.5);
    add(tube({{{16, 46, 19.5}, 3.4, 3.4}, {{15.2, 49.5, 26}, 3.2, 3.2}, {{14.6, 51, 38}, 2.4, 2.6}}, kBackward, 2), 2);
  }

  void hollow_skull() {
    const double shell = 6;
    cut(ball({0, 102, 96}, {68 - shell, 58, 40}), 4);
    cut(ball({0, 46, 104}, {44, 30, 18}), 4);
    cut(ball({31, 74, 71}, {22, 20, 15}), 3);
    cut(ball({0, 77.3, 66.4}, {6, 5.6, 4.8}), 2);  // fossa of the pituitary: its centre is S
    cut(ball({0, 118, 70}, {44, 24, 42}), 4);
    cut(ball({62, 46, 62}, {15.5, 22, 30}), 4);  // temple
    cut(std::make_unique<Hull>(std::vector<Hull::Plane>{{Vec3(0, 0, -1), Vec3(0, 0, 90)}}, 1,
                               Box(Vec3(-80, 0, 88), Vec3(80, 180, 140))),
        0.6);
    cut(std::make_unique<Hull>(std::vector<Hull::Plane>{{Vec3(0, -1, 0), Vec3(0, 112, 0)}}, 1,
                               Box(Vec3(-80, 110, 0), Vec3(80, 180, 140))),
        0.6);
  }

  /// The fossa follows the condyle at the published joint spaces and opens downwards.
  void hollow_joint() {
    const CondyleForm c = CondyleForm::plain();
    const Vec3 more(1.75, 1.35, 2.55), shift(-0.45, 0.55, 0);
    cut(std::make_unique<Ellipsoid>(Vec3(c.centre + shift), Vec3(c.radii + more), c.axes), 1);
    cut(tube({{Vec3(c.centre + shift), c.radii.x() + more.x(), c.radii.y() + more.y()},
              {Vec3(c.centre + Vec3(0, 0.8, -14)), c.radii.x() + more.x() + 2, c.radii.y() + more.y() + 1.5}},
             c.axes.col(1), 3),
        1);
  }

  void hollow_orbit() {
    cut(tube({{{31, -4, 68.2}, 21, 18},
              {{29.5, 15, 68.6}, 18.2, 15.4},
              {{28.6, 25, 69}, 17, 15},
              {{24, 39, 68}, 12, 11},
              {{18.5, 51, 65.6}, 5, 5},
              {{16.5, 60, 63.5}, 2.6, 2.6}},
             kUpward, 3),
        1.2);
  }

  void hollow_nose() {
    // The mouth's side of the palate, then the nose: floor, side walls and roof.
    cut(ball({0, 39, 3}, {17.5, 30, 17.2}), 2);
    const std::vector<Hull::Plane> nose{{Vec3(1, 0.02, 0.05), Vec3(11.6, 20, 30)},
                                        {Vec3(0, -0.045, -1), Vec3(0, 5, 27)},
                                        {Vec3(0, -0.25, 1), Vec3(0, 24, 54)}};
    cut(std::make_unique<Hull>(nose, 4, Box(Vec3(-13, -20, 24), Vec3(13, 56, 75))), 1.5);
  }

  void add_alveolar_process() {
    add_bone_around(bone_.solid, arches_.upper, Vec3(1.3, 1.8, 1.6), 3);
    add(ridge_between(arches_.upper, 0.45, 0.36), 3, Space::patient);
  }

  void hollow_sinus() {
    const double w = wall(1.3);
    auto planes = Hull::moved_inwards(maxilla_planes(), {wall(1.4), wall(1.9), w, 4.2 + w, w, 4.2, w});
    planes.push_back({Vec3(0, -1, 0.15), Vec3(0, 17.5, 30)});
    cut(std::make_unique<Hull>(planes, 3.5, Box(Vec3(11, 6, 18), Vec3(40, 53, 58))), 1);
    cut(ball({33, 26.5, 43}, {5.5, 4, 5}), 1);                                            // into the cheekbone
    cut(tube({{{17, 30, 46.4}, 2.2, 2.2}, {{9, 30, 47}, 2.2, 2.2}}, kUpward, 1.5), 0.6);  // its door to the nose
    // Roots that reach up into it keep a shell of bone; so does the infraorbital canal.
    add_bone_around(bone_.solid, arches_.upper, Vec3(wall(0.9), 4, wall(0.9)), 0.8);
    const Canal canal = infraorbital_canal();
    std::vector<TubeKnot> around(canal.knots.begin() + 1, canal.knots.end() - 1);
    around.back().at = Vec3(27.5, 31, 51.2);
    for (TubeKnot& k : around) k.across = k.upward = canal.radius_mm + wall(1.1);
    around.front().at = canal.knots[1].at + Vec3(0, 2.5, 0.8);
    add(tube(around, kUpward, 1), 0.8);
  }

  void add_nose_inside() {
    SheetForm septum;
    septum.outline = {{9, 24},  {30, 23.5}, {49, 23.5}, {56, 33},   {61, 48}, {50, 56}, {16, 57},
                      {10, 67}, {7.5, 60},  {15, 52},   {28, 42.5}, {20, 35}, {9.5, 30}};
    septum.thick = {wall(1.8), 0, 0};
    septum.edge_mm = 0.7;
    add(std::make_unique<Sheet>(septum), 1.5);
    const double t = wall(1.9);
    // Its free edge hangs some 8 mm above the floor: a usual cut below the cheekbone passes under it.
    add(tube({{{9, 16, 38.4}, 0.5 * t, 2.8},
              {{7.8, 24, 38.6}, 0.6 * t, 3.8},
              {{7.8, 36, 38.8}, 0.6 * t, 3.8},
              {{8.6, 46, 39}, 0.5 * t, 2.8}},
             kUpward, 1.3),
        1);  // lower turbinate
    add(tube({{{10.2, 16.5, 41.2}, 2.6, 0.5 * t}, {{10, 30, 42}, 3, 0.5 * t}, {{10.2, 45, 42}, 2.6, 0.5 * t}}, kUpward,
             1),
        1);
    add(tube({{{6.4, 26, 51.5}, 0.5 * t, 4.4}, {{6, 36, 50.5}, 0.55 * t, 5}, {{6.6, 46, 51}, 0.5 * t, 4.4}}, kUpward,
             1.5),
        1);  // middle
    SheetForm nasal;
    nasal.origin = Vec3(0, 12.6, 80);
    nasal.e1 = kLeftward;
    nasal.e2 = Vec3(0, -0.46, -0.888).normalized();
    nasal.outline = {{-3.5, -1}, {3.5, -1},  {4.6, 9},   {6.4, 15},  {9.6, 21}, {5, 23.4},
                     {0, 23},    {-5, 23.4}, {-9.6, 21}, {-6.4, 15}, {-4.6, 9}};
    nasal.bend = {0, 0, 0, 0.055, 0, 0};
    nasal.thick = {wall(2.4), 0, 0};
    add(std::make_unique<Sheet>(nasal), 2.5);
  }

  void add_spines() {
    add(tube({{{0, 10, 26.6}, 2.4, 2.4}, {{0, 6, 28}, 1.7, 1.9}, {{0, 2.6, 29.3}, 0.9, 1}}, kUpward, 0.9), 2);
    add(tube({{{0, 46, 23}, 3, 2}, {{0, 50.4, 24.4}, 1.5, 1.3}, {{0, 52.4, 25}, 1, 1}}, kUpward, 0.8), 2);
  }

  void bore_canals() {
    bone_.before_canals = bone_.solid.steps();
    for (const Canal& canal : {infraorbital_canal(), palatine_canal(), ear_canal()})
      cut(tube(canal.knots, Vec3(0.2, 0.3, 1), canal.radius_mm), 0.4);
  }

  const SeatedArches& arches_;
  double thin_;
  BoneSolid bone_;
};

std::vector<TubeKnot> round_knots(const std::vector<Vec3>& through, double radius) {
  std::vector<TubeKnot> knots;
  for (const Vec3& at : through) knots.push_back({at, radius, radius});
  return knots;
}

}  // namespace

Canal infraorbital_canal() {
  return {round_knots({{26.2, 10, 43}, {26.8, 19, 46}, {27.4, 27, 50}, {27.6, 35, 53.6}, {27, 43, 57}}, 1.6), 1.6};
}

Canal palatine_canal() {
  return {
      round_knots(
          {{16.4, 42, 10}, {16.2, 45.6, 18.5}, {15.6, 49, 25}, {14.9, 52, 32}, {14.8, 53.6, 38}, {15, 54.4, 42}}, 1.4),
      1.4};
}

Canal ear_canal() {
  return {round_knots({{47, 98.4, 41.1}, {56, 98.4, 41.1}, {70, 98.4, 41.1}}, 4.2), 4.2};
}

CondyleForm CondyleForm::plain() {
  CondyleForm form;
  // The long axis points inwards and back by some 16 degrees: cosine and sine written out.
  form.axes << 0.9613, 0.2756, 0, -0.2756, 0.9613, 0, 0, 0, 1;
  return form;
}

BoneSolid upper_bone_solid(const SeatedArches& arches, const SkullPattern& pattern, double thinnest_mm) {
  return UpperBuilder(arches, pattern, thinnest_mm).run();
}

}  // namespace intercusp
