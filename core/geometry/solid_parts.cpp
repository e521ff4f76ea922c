#include <algorithm>

#include "geometry/cut.h"
#include "geometry/union_find.h"

namespace intercusp {
namespace {

constexpr std::uint32_t kNotUsed = 0xFFFFFFFFu;

struct Shell {
  std::vector<std::uint32_t> triangles;
  Box box;
  double volume = 0;
};

std::vector<Shell> shells_of(const Mesh& mesh) {
  UnionFind joined(mesh.positions.size());
  for (const Triangle& t : mesh.triangles) {
    joined.join(t[0], t[1]);
    joined.join(t[1], t[2]);
  }
  std::vector<std::uint32_t> number(mesh.positions.size(), kNotUsed);
  std::vector<Shell> shells;
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
    std::uint32_t& n = number[joined.find(mesh.triangles[t][0])];
    if (n == kNotUsed) {
      n = static_cast<std::uint32_t>(shells.size());
      shells.emplace_back();
    }
    Shell& shell = shells[n];
    shell.triangles.push_back(t);
    for (int k = 0; k < 3; ++k) shell.box.extend(mesh.corner(t, k));
  }
  for (Shell& shell : shells) {
    const Vec3 centre = shell.box.center();
    for (const std::uint32_t t : shell.triangles) {
      const Vec3 a = mesh.corner(t, 0) - centre, b = mesh.corner(t, 1) - centre, c = mesh.corner(t, 2) - centre;
      shell.volume += a.dot(b.cross(c)) / 6;
    }
  }
  return shells;
}

/// The smallest outward shell whose box holds a hollow's box.
Shell* around(std::vector<Shell>& shells, const Shell& hollow) {
  Shell* best = nullptr;
  for (Shell& shell : shells) {
    if (shell.volume > 0 && shell.box.contains(hollow.box) && (!best || shell.box.volume() < best->box.volume())) {
      best = &shell;
    }
  }
  return best;
}

Mesh extracted(const Mesh& mesh, std::vector<std::uint32_t> triangles) {
  std::sort(triangles.begin(), triangles.end());
  Mesh part;
  std::vector<std::uint32_t> number(mesh.positions.size(), kNotUsed);
  for (const std::uint32_t t : triangles) {
    Triangle renamed{};
    for (std::size_t k = 0; k < 3; ++k) {
      std::uint32_t& n = number[mesh.triangles[t][k]];
      if (n == kNotUsed) {
        n = static_cast<std::uint32_t>(part.positions.size());
        part.positions.push_back(mesh.positions[mesh.triangles[t][k]]);
        if (!mesh.colours.empty()) part.colours.push_back(mesh.colours[mesh.triangles[t][k]]);
      }
      renamed[k] = n;
    }
    part.triangles.push_back(renamed);
  }
  return part;
}

}  // namespace

std::vector<Mesh> solid_parts(const Mesh& mesh) {
  std::vector<Shell> shells = shells_of(mesh);
  for (Shell& hollow : shells) {
    if (hollow.volume >= 0) continue;
    Shell* host = around(shells, hollow);
    if (!host) continue;
    host->triangles.insert(host->triangles.end(), hollow.triangles.begin(), hollow.triangles.end());
    hollow.triangles.clear();
  }
  std::stable_sort(shells.begin(), shells.end(), [](const Shell& a, const Shell& b) { return a.volume > b.volume; });
  std::vector<Mesh> parts;
  for (Shell& shell : shells) {
    if (!shell.triangles.empty()) parts.push_back(extracted(mesh, std::move(shell.triangles)));
  }
  return parts;
}

}  // namespace intercusp
