// The bodies and poses that every benchmark runs on.
#pragma once

#include <ctime>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <map>
#include <string>
#include <vector>

#include "anatomy/sample_jaws.h"
#include "geometry/contact.h"
#include "geometry/cut.h"

namespace intercusp::bench {

/// Processor time of all threads of the program, ms: what else runs on the machine does not count.
inline double processor_ms() {
  timespec t{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return 1e3 * static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_nsec);
}

inline double wall_ms() {
  timespec t{};
  clock_gettime(CLOCK_MONOTONIC, &t);
  return 1e3 * static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_nsec);
}

inline double median(std::vector<double> values) {
  std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2), values.end());
  return values[values.size() / 2];
}

/// Median over `runs` of the time of `work`, ms of `clock`.
inline double timed(int runs, const std::function<void()>& work, double (*clock)() = processor_ms) {
  std::vector<double> times;
  for (int i = 0; i < runs; ++i) {
    const double begin = clock();
    work();
    times.push_back(clock() - begin);
  }
  return median(times);
}

/// Each triangle in four, which lie where it lay.
inline Mesh in_four(const Mesh& mesh) {
  Mesh out;
  out.positions = mesh.positions;
  std::map<std::pair<std::uint32_t, std::uint32_t>, std::uint32_t> middles;
  const auto middle = [&](std::uint32_t a, std::uint32_t b) {
    const auto [found, fresh] =
        middles.try_emplace({std::min(a, b), std::max(a, b)}, static_cast<std::uint32_t>(out.positions.size()));
    if (fresh) out.positions.push_back(0.5f * (mesh.positions[a] + mesh.positions[b]));
    return found->second;
  };
  for (const Triangle& t : mesh.triangles) {
    const std::uint32_t a = middle(t[0], t[1]), b = middle(t[1], t[2]), c = middle(t[2], t[0]);
    for (const Triangle& part : {Triangle{t[0], a, c}, Triangle{a, t[1], b}, Triangle{c, b, t[2]}, Triangle{a, b, c}})
      out.triangles.push_back(part);
  }
  return out;
}

/// In fours until it has about as many triangles as asked, at most 1.6 times.
inline Mesh made_fine(Mesh mesh, std::size_t triangles) {
  while (2.5 * static_cast<double>(mesh.triangles.size()) <= static_cast<double>(triangles)) mesh = in_four(mesh);
  return mesh;
}

struct Scene {
  std::string name;
  SurfacePtr first, second;
  Pose first_pose = Pose::Identity();
  std::vector<Pose> drag;  ///< of the second body; each a small step from the last
  double apart = -12;      ///< along z: moved by this on top, the second body comes free
  bool lies_on = false;    ///< the bodies face each other with flat faces over their whole width
};

/// Poses about `centre` and `rest`: 40 steps around a small circle, about 0.05 mm and 0.03 degrees each.
inline std::vector<Pose> small_drag(const Pose& rest, const Vec3& centre) {
  std::vector<Pose> poses;
  for (int i = 0; i < 40; ++i) {
    const double a = 2 * kPi * i / 40;
    const Vec3 shift(0.32 * (std::cos(a) - 1), 0.32 * std::sin(a), 0.02 * std::sin(2 * a));
    const Pose turn = Eigen::Translation3d(centre) *
                      Eigen::AngleAxisd(radians(0.2) * std::sin(a), Vec3(0.3, 0.2, 1).normalized()) *
                      Eigen::Translation3d(-centre);
    poses.push_back(Pose(Eigen::Translation3d(shift)) * turn * rest);
  }
  return poses;
}

inline double deepest(const Surface& a, const Surface& b, const Pose& pose) {
  ContactSettings settings;
  settings.band_mm = 0.5;
  const ContactResult r = find_contact(a, Pose::Identity(), b, pose, settings);
  return r.regions.empty() ? -std::min(r.minimum_distance_mm, 1.0) : r.regions.front().deepest_mm;
}

/// Two arches of about `triangles` each, the lower one pressed 0.3 mm into the upper.
inline Scene arches(std::uint32_t triangles) {
  JawRecipe recipe = find_sample("class1").value();
  recipe.triangles = triangles;
  const Result<SampleJaws> jaws = make_sample(recipe);
  if (!jaws.ok()) std::abort();
  Scene scene;
  scene.name = "arches";
  scene.apart = -2;
  for (const SampleBody& body : jaws.value().bodies) {
    if (body.name == "upper_arch") scene.first = Surface::make(body.mesh);
    if (body.name == "lower_arch") scene.second = Surface::make(body.mesh);
  }
  double low = -1, high = 2;  // rise of the lower arch, mm
  for (int i = 0; i < 10; ++i) {
    const double middle = 0.5 * (low + high);
    const bool deep = deepest(*scene.first, *scene.second, Pose(Eigen::Translation3d(0, 0, middle))) > 0.3;
    (deep ? high : low) = middle;
  }
  scene.drag = small_drag(Pose(Eigen::Translation3d(0, 0, low)), scene.second->box().center());
  return scene;
}

/// A closed knobbly body of 8 n^2 triangles about the origin, from an octahedron divided n times along each edge.
inline Mesh knobbly(double radius, int n, double phase) {
  Mesh mesh;
  const auto rows = static_cast<std::uint32_t>(4 * n);
  // Rings of the octahedron from pole to pole: ring j holds 4 min(j, 2n - j) vertices (one at the poles).
  std::vector<std::uint32_t> start;
  const auto place = [&](const Vec3& on_octahedron) {
    const Vec3 d = on_octahedron.normalized();
    const double swell = 1 + 0.06 * std::sin(5 * d.x() + phase) * std::cos(6 * d.y()) + 0.03 * std::sin(17 * d.z()) +
                         0.008 * std::sin(41 * d.x()) * std::sin(37 * d.y() + phase);
    const Vec3 p = radius * swell * d;
    mesh.positions.push_back(p.cast<float>());
  };
  (void)rows;
  for (int j = 0; j <= 2 * n; ++j) {
    start.push_back(static_cast<std::uint32_t>(mesh.positions.size()));
    const int side = std::min(j, 2 * n - j);
    const double z = 1 - static_cast<double>(j) / n;
    if (side == 0) place({0, 0, z});
    for (int quarter = 0; quarter < 4; ++quarter) {
      for (int i = 0; i < side; ++i) {
        const double u = static_cast<double>(side - i) / n, v = static_cast<double>(i) / n;
        const Vec3 corners[4] = {{u, v, z}, {-v, u, z}, {-u, -v, z}, {v, -u, z}};
        place(corners[quarter]);
      }
    }
  }
  const auto at = [&](int ring, int quarter, int i) {
    const int side = std::min(ring, 2 * n - ring);
    if (side == 0) return start[static_cast<std::size_t>(ring)];
    return start[static_cast<std::size_t>(ring)] + static_cast<std::uint32_t>((quarter * side + i) % (4 * side));
  };
  for (int j = 0; j < 2 * n; ++j) {
    const bool opening = j < n;
    const int thin = opening ? j : j + 1, wide = opening ? j + 1 : j, side = std::min(thin, 2 * n - thin);
    for (int quarter = 0; quarter < 4; ++quarter) {
      for (int i = 0; i <= side; ++i) {
        Triangle t{at(thin, quarter, i), at(wide, quarter, i), at(wide, quarter, i + 1)};
        if (!opening) std::swap(t[1], t[2]);
        mesh.triangles.push_back(t);
        if (i == side) continue;
        Triangle s{at(thin, quarter, i), at(wide, quarter, i + 1), at(thin, quarter, i + 1)};
        if (!opening) std::swap(s[1], s[2]);
        mesh.triangles.push_back(s);
      }
    }
  }
  return mesh;
}

/// Two closed bodies of about `triangles` each that overlap by several millimetres.
inline Scene bones(std::uint32_t triangles) {
  const int n = std::max(2, static_cast<int>(std::lround(std::sqrt(triangles / 8.0))));
  Scene scene;
  scene.name = "bones";
  scene.first = Surface::make(knobbly(25, n, 0.3));
  scene.second = Surface::make(knobbly(22, n, 1.1));
  scene.drag = small_drag(Pose(Eigen::Translation3d(3, 2, -42)), Vec3(3, 2, -42));
  return scene;
}

/// The two parts of a knobbly body of about 2 x `triangles` after a saw cut of `kerf_mm`: 0 leaves flat faces that lie
/// on each other, triangle on triangle. The drag slides the lower part along the cut, and begins and ends unmoved.
inline Scene sawn(std::uint32_t triangles, double kerf_mm) {
  const int n = std::max(2, static_cast<int>(std::lround(std::sqrt(triangles / 4.0))));
  const auto parts = cut_mesh(knobbly(25, n, 0.3), CutSurface::plane(Vec3(0, 0, 1), Vec3(0.1, 0.2, 1)), kerf_mm);
  if (!parts.ok()) std::abort();
  Scene scene;
  scene.name = kerf_mm > 0 ? "kerf" : "sawn";
  scene.first = Surface::make(parts.value().positive);
  scene.second = Surface::make(parts.value().negative);
  scene.lies_on = true;
  const Vec3 normal = Vec3(0.1, 0.2, 1).normalized(), u = normal.unitOrthogonal(), v = normal.cross(u);
  for (int i = 0; i < 40; ++i) {
    const double a = 2 * kPi * i / 39;
    scene.drag.push_back(Pose(Eigen::Translation3d(0.32 * ((std::cos(a) - 1) * u + std::sin(a) * v))));
  }
  scene.drag.back() = Pose::Identity();
  return scene;
}

/// One knobbly shape as two meshes of about `vertices` and a tenth fewer, no vertex of one on a vertex of the other.
inline Scene divided_twice(std::uint32_t vertices) {
  const int n = static_cast<int>(std::lround(std::sqrt(vertices / 4.0)));
  Scene scene;
  scene.name = "shape";
  scene.first = Surface::make(knobbly(25, n, 0.3));
  scene.second = Surface::make(knobbly(25, n - 11, 0.3));
  return scene;
}

}  // namespace intercusp::bench
