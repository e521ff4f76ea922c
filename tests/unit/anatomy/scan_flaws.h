// What a scanner does to a surface: noise, holes, an arbitrary frame, no base. Reproducible from the seed.
#pragma once

#include <cmath>
#include <vector>

#include "anatomy/fixed_random.h"
#include "anatomy/sample_jaws.h"

namespace intercusp::flaws {

inline double normal_draw(FixedRandom& random) {
  double sum = -6;
  for (int i = 0; i < 12; ++i) sum += random.between(0, 1);
  return sum;
}

inline Vec3 normal_vector(FixedRandom& random) {
  const double x = normal_draw(random), y = normal_draw(random), z = normal_draw(random);
  return {x, y, z};
}

/// A smooth random field of zero mean and standard deviation 1 whose correlation falls as exp(-r^2 / (2 length^2)).
class SmoothNoise {
 public:
  SmoothNoise(std::uint64_t seed, double length_mm) {
    FixedRandom random(seed);
    for (int i = 0; i < kWaves; ++i) {
      const Vec3 k = normal_vector(random) / length_mm;
      waves_.push_back({k, random.between(0, 2 * kPi)});
    }
  }
  double at(const Vec3& p) const {
    double sum = 0;
    for (const Wave& w : waves_) sum += std::cos(w.k.dot(p) + w.phase);
    return sum * std::sqrt(2.0 / kWaves);
  }

 private:
  static constexpr int kWaves = 48;
  struct Wave {
    Vec3 k;
    double phase;
  };
  std::vector<Wave> waves_;
};

/// Moves vertices along their normals.
inline void add_noise(Mesh& mesh, std::uint64_t seed, double sd_mm, double length_mm) {
  const SmoothNoise noise(seed, length_mm);
  const std::vector<Vec3f> normals = vertex_normals(mesh);
  for (std::size_t i = 0; i < mesh.positions.size(); ++i)
    mesh.positions[i] += static_cast<float>(sd_mm * noise.at(mesh.positions[i].cast<double>())) * normals[i];
}

template <class Drop>
void drop_triangles(Mesh& mesh, const Drop& drop) {
  std::vector<Triangle> kept;
  for (std::size_t i = 0; i < mesh.triangles.size(); ++i)
    if (!drop((mesh.corner(i, 0) + mesh.corner(i, 1) + mesh.corner(i, 2)) / 3)) kept.push_back(mesh.triangles[i]);
  mesh.triangles = std::move(kept);
}

/// Round holes about random vertices.
inline void add_holes(Mesh& mesh, std::uint64_t seed, int count, double across_mm) {
  FixedRandom random(seed);
  std::vector<Vec3> centres;
  for (int i = 0; i < count; ++i)
    centres.push_back(mesh.positions[random.below(static_cast<std::uint32_t>(mesh.positions.size()))].cast<double>());
  drop_triangles(mesh, [&](const Vec3& p) {
    for (const Vec3& c : centres)
      if ((p - c).norm() < 0.5 * across_mm) return true;
    return false;
  });
}

/// Leaves what an intraoral scan shows of a sample arch in the patient frame: the crowns and some gum.
inline void cut_base_off(Mesh& mesh, bool upper, double level_mm) {
  drop_triangles(mesh, [&](const Vec3& p) { return upper ? p.z() > level_mm : p.z() < -level_mm; });
}

inline Pose any_pose(std::uint64_t seed) {
  FixedRandom random(seed);
  Pose pose = Pose::Identity();
  pose.linear() = Eigen::Quaterniond(normal_draw(random), normal_draw(random), normal_draw(random), normal_draw(random))
                      .normalized()
                      .toRotationMatrix();
  pose.translation() = 40 * normal_vector(random);
  return pose;
}

}  // namespace intercusp::flaws
