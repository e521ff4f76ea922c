// A bone of known truth as a CT would show it: teeth of poor quality, a threshold that makes everything thicker or
// thinner, steps of the slices, noise, holes where walls are thin, walls of marrow spaces, loose scatter. No colours,
// no names. Reproducible from the seed.
#pragma once

#include <algorithm>
#include <cmath>

#include "anatomy/arch_field.h"
#include "anatomy/scan_flaws.h"
#include "anatomy/solid_program.h"

namespace intercusp::flaws {

struct CtFlaws {
  std::uint64_t seed = 1;
  double grid_mm = 1.1;
  double thicker_mm = 0.1;  ///< by the threshold; negative: thinner
  double noise_mm = 0.08;   ///< one standard deviation, along the normals
  double slice_mm = 0.8;    ///< steps across z; 0 = none
  double marrow_mm = 2.4;   ///< inner walls this far below the surface; 0 = none
  int holes = 0, loose = 0;
  double hole_mm = 5;
};

/// Bone and crowns as one solid, as far as an image reaches.
class InTheImage : public ScalarField {
 public:
  InTheImage(const ScalarField& bone, const ArchField& arch, const Box& image, double thicker_mm)
      : bone_(bone), arch_(arch), image_(image), thicker_(thicker_mm) {}
  double value(const Vec3& p) const override {
    const double inside = std::min(bone_.value(p), arch_.crowns(p)) - thicker_;
    const Vec3 out = (p - image_.center()).cwiseAbs() - 0.5 * image_.sizes();
    return std::max(inside, out.maxCoeff());
  }

 private:
  const ScalarField& bone_;
  const ArchField& arch_;
  Box image_;
  double thicker_;
};

/// The same solid less a skin: its surface is the wall of the marrow spaces.
class BelowSkin : public ScalarField {
 public:
  BelowSkin(const ScalarField& solid, double skin_mm) : solid_(solid), skin_(skin_mm) {}
  double value(const Vec3& p) const override { return solid_.value(p) + skin_; }

 private:
  const ScalarField& solid_;
  double skin_;
};

inline void append(Mesh& mesh, const Mesh& other, bool turned) {
  const auto first = static_cast<std::uint32_t>(mesh.positions.size());
  mesh.positions.insert(mesh.positions.end(), other.positions.begin(), other.positions.end());
  for (const Triangle& t : other.triangles) {
    if (turned) {
      mesh.triangles.push_back({t[0] + first, t[2] + first, t[1] + first});
    } else {
      mesh.triangles.push_back({t[0] + first, t[1] + first, t[2] + first});
    }
  }
}

/// A little eight-sided piece.
inline Mesh chip(const Vec3& at, double size_mm) {
  Mesh mesh;
  for (const int axis : {0, 1, 2})
    for (const double sign : {1.0, -1.0}) {
      Vec3 corner = at;
      corner[axis] += sign * size_mm;
      mesh.positions.push_back(corner.cast<float>());
    }
  for (const std::uint32_t x : {0u, 1u})
    for (const std::uint32_t y : {2u, 3u})
      for (const std::uint32_t z : {4u, 5u}) {
        const bool even = (x + y + z) % 2 == 0;
        mesh.triangles.push_back({x, even ? y : z, even ? z : y});
      }
  return mesh;
}

inline Mesh as_from_ct(const ScalarField& solid, const Box& image, const Vec3& inside, const CtFlaws& flaws) {
  const Box grid(Vec3(image.min() - Vec3::Constant(2)), Vec3(image.max() + Vec3::Constant(2)));
  Mesh mesh = polygonise(solid, grid, flaws.grid_mm, inside);
  if (flaws.marrow_mm > 0)
    append(mesh, polygonise(BelowSkin(solid, flaws.marrow_mm), grid, flaws.grid_mm, inside), true);
  add_noise(mesh, flaws.seed, flaws.noise_mm, 1.5);
  if (flaws.slice_mm > 0)
    for (Vec3f& p : mesh.positions) {
      const double level = flaws.slice_mm * std::round(p.z() / flaws.slice_mm);
      p.z() += static_cast<float>(0.5 * (level - p.z()));
    }
  add_holes(mesh, flaws.seed + 1, flaws.holes, flaws.hole_mm);
  FixedRandom random(flaws.seed + 2);
  for (int i = 0; i < flaws.loose; ++i) {
    const Vec3 at(random.between(image.min().x(), image.max().x()), image.min().y() - 6 - random.between(0, 4),
                  random.between(image.min().z(), image.max().z()));
    append(mesh, chip(at, random.between(0.5, 1.5)), false);
  }
  mesh.colours.clear();
  return mesh;
}

}  // namespace intercusp::flaws
