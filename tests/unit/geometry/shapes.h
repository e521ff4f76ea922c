// Simple bodies with known answers, for the tests of this room.
#pragma once

#include <cmath>
#include <cstdint>
#include <limits>
#include <map>
#include <utility>

#include "geometry/mesh.h"

namespace intercusp::shapes {

constexpr double kFar = std::numeric_limits<double>::infinity();

/// splitmix64 (Steele, Lea & Flood 2014): the same numbers everywhere.
class Random {
 public:
  explicit Random(std::uint64_t seed) : state_(seed) {}
  double uniform(double low, double high) {
    std::uint64_t z = (state_ += 0x9E3779B97F4A7C15ull);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ull;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBull;
    z ^= z >> 31;
    return low + (high - low) * (static_cast<double>(z >> 11) * 0x1.0p-53);
  }
  Vec3 point(double size) {
    const double x = uniform(-size, size), y = uniform(-size, size), z = uniform(-size, size);
    return {x, y, z};
  }
  Pose pose(double shift) {
    Vec3 axis = point(1);
    while (axis.norm() < 0.1) axis = point(1);
    const double angle = uniform(-kPi, kPi);
    return Eigen::Translation3d(point(shift)) * Eigen::AngleAxisd(angle, axis.normalized());
  }

 private:
  std::uint64_t state_;
};

inline Mesh box(const Vec3& low, const Vec3& high) {
  Mesh m;
  for (int i = 0; i < 8; ++i) {
    m.positions.emplace_back(
        Vec3(i & 1 ? high.x() : low.x(), i & 2 ? high.y() : low.y(), i & 4 ? high.z() : low.z()).cast<float>());
  }
  m.triangles = {{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6}, {0, 1, 4}, {1, 5, 4},
                 {2, 6, 3}, {3, 6, 7}, {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5}};
  return m;
}

/// Cuts every triangle in four; `place` moves each new vertex.
template <class Place>
Mesh refined(const Mesh& mesh, Place place) {
  Mesh fine;
  fine.positions = mesh.positions;
  std::map<std::pair<std::uint32_t, std::uint32_t>, std::uint32_t> middles;
  const auto middle = [&](std::uint32_t a, std::uint32_t b) {
    const auto key = std::make_pair(std::min(a, b), std::max(a, b));
    const auto found = middles.find(key);
    if (found != middles.end()) return found->second;
    const Vec3 between = 0.5 * (mesh.positions[a].cast<double>() + mesh.positions[b].cast<double>());
    const Vec3 placed = place(between);
    fine.positions.push_back(placed.cast<float>());
    return middles[key] = static_cast<std::uint32_t>(fine.positions.size() - 1);
  };
  for (const Triangle& t : mesh.triangles) {
    const std::uint32_t ab = middle(t[0], t[1]), bc = middle(t[1], t[2]), ca = middle(t[2], t[0]);
    fine.triangles.push_back({t[0], ab, ca});
    fine.triangles.push_back({t[1], bc, ab});
    fine.triangles.push_back({t[2], ca, bc});
    fine.triangles.push_back({ab, bc, ca});
  }
  return fine;
}

/// An octahedron refined `levels` times (8 * 4^levels triangles) with its vertices on the sphere.
inline Mesh sphere(const Vec3& centre, double radius, int levels) {
  Mesh m;
  for (int axis = 0; axis < 3; ++axis) {
    for (const double side : {1.0, -1.0}) {
      const Vec3 p = centre + side * radius * Vec3::Unit(axis);
      m.positions.push_back(p.cast<float>());
    }
  }
  m.triangles = {{0, 2, 4}, {2, 1, 4}, {1, 3, 4}, {3, 0, 4}, {2, 0, 5}, {1, 2, 5}, {3, 1, 5}, {0, 3, 5}};
  const auto place = [&](const Vec3& p) { return Vec3(centre + radius * (p - centre).normalized()); };
  for (int i = 0; i < levels; ++i) m = refined(m, place);
  return m;
}

/// A square sheet in the plane z, facing up, of 2 * cells^2 triangles. Open.
inline Mesh sheet(double half_width, double z, int cells) {
  Mesh m;
  for (int j = 0; j <= cells; ++j) {
    for (int i = 0; i <= cells; ++i) {
      const Vec3 p(half_width * (2.0 * i / cells - 1), half_width * (2.0 * j / cells - 1), z);
      m.positions.push_back(p.cast<float>());
    }
  }
  const auto row = static_cast<std::uint32_t>(cells + 1);
  for (std::uint32_t j = 0; j + 1 < row; ++j) {
    for (std::uint32_t i = 0; i + 1 < row; ++i) {
      const std::uint32_t a = j * row + i;
      m.triangles.push_back({a, a + 1, a + row});
      m.triangles.push_back({a + 1, a + row + 1, a + row});
    }
  }
  return m;
}

/// The part of a mesh whose triangles lie wholly at or above z. Keeps all vertices.
inline Mesh above(Mesh mesh, double z) {
  std::vector<Triangle> kept;
  for (const Triangle& t : mesh.triangles) {
    bool keep = true;
    for (const std::uint32_t v : t) keep = keep && mesh.positions[v].z() >= static_cast<float>(z);
    if (keep) kept.push_back(t);
  }
  mesh.triangles = std::move(kept);
  return mesh;
}

inline Mesh joined(Mesh a, const Mesh& b) {
  const auto offset = static_cast<std::uint32_t>(a.positions.size());
  a.positions.insert(a.positions.end(), b.positions.begin(), b.positions.end());
  for (const Triangle& t : b.triangles) a.triangles.push_back({t[0] + offset, t[1] + offset, t[2] + offset});
  return a;
}

inline Pose shifted(const Vec3& by) {
  return Pose(Eigen::Translation3d(by));
}

}  // namespace intercusp::shapes
