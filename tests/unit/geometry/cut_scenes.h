// Random bodies and random cut surfaces, the same for the same number.
#pragma once

#include <cmath>

#include "geometry/cut_surface.h"
#include "geometry/shapes.h"

namespace intercusp::cut_scenes {

struct Scene {
  Mesh mesh;
  CutSurface surface = CutSurface::plane(Vec3::Zero(), Vec3::UnitZ());
  double kerf_mm = 0.5;
};

/// A lumpy ball of about 30 mm somewhere within 80 mm of the origin.
inline Mesh lump(shapes::Random& random, int levels) {
  Mesh m = shapes::sphere(Vec3::Zero(), 1, levels);
  const Vec3 at = random.point(50), wave = random.point(6), other = random.point(9);
  for (Vec3f& p : m.positions) {
    const Vec3 d = p.cast<double>();
    const double radius = 28 * (1 + 0.25 * std::sin(wave.dot(d)) + 0.12 * std::sin(other.dot(d) + 1));
    p = (at + radius * d).cast<float>();
  }
  return m;
}

/// A plane, a step, or three planes that meet in a corner, through the middle of the body.
inline Scene random_scene(std::uint64_t seed, int levels = 5) {
  shapes::Random random(seed);
  Scene scene;
  scene.mesh = lump(random, levels);
  const Vec3 middle = bounds(scene.mesh).center();
  const Mat3 turn = random.pose(0).linear();
  const auto plane = [&](const Vec3& normal, double reach) {
    const Vec3 through = middle + random.point(reach);
    return CutSurface::plane(through, turn * (normal + random.point(0.2)));
  };
  const CutSurface first = plane(Vec3::UnitZ(), 12);
  scene.kerf_mm = random.uniform(0.2, 1.5);
  if (seed % 3 == 0) {
    scene.surface = first;
  } else if (seed % 3 == 1) {
    const CutSurface wall = plane(Vec3::UnitX(), 8);
    scene.surface = CutSurface::stepped(wall, first, plane(Vec3::UnitZ(), 12));
  } else {
    const CutSurface second = plane(Vec3::UnitX(), 8);
    scene.surface = CutSurface::either(first, CutSurface::both(second, plane(Vec3::UnitY(), 8)));
  }
  return scene;
}

}  // namespace intercusp::cut_scenes
