#include <algorithm>

#include "geometry/cut.h"
#include "geometry/union_find.h"

namespace intercusp {
namespace {

constexpr std::uint32_t kNoShell = 0xFFFFFFFFu;

struct SolidShell {
  std::vector<std::uint32_t> triangles;
  Box box;
  double volume = 0;
};

std::vector<SolidShell> solid_shells_of(const Mesh& mesh) {
  UnionFind joined(mesh.positions.size());
  for (const Triangle& t : mesh.triangles) {
    joined.join(t[0], t[1]);
    joined.join(t[1], t[2]);
  }
  std::vector<std::uint32_t> number(mesh.positions.size(), kNoShell);
  std::vector<SolidShell> shells;
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
    std::uint32_t& n = number[joined.find(mesh.triangles[t][0])];
    if (n == kNoShell) {
      n = static_cast<std::uint32_t>(shells.size());
      shells.emplace_back();
    }
    SolidShell& shell = shells[n];
    shell.triangles.push_back(t);
    for (int k = 0; k < 3; ++k) shell.box.extend(mesh.corner(t, k));
  }
  for (SolidShell& shell : shells) {
    const Vec3 centre = shell.box.center();
    for (const std::uint32_t t : shell.triangles) {
      const Vec3 a = mesh.corner(t, 0) - centre, b = mesh.corner(t, 1) - centre, c = mesh.corner(t, 2) - centre;
      shell.volume += a.dot(b.cross(c)) / 6;
    }
  }
  return shells;
}

/// The smallest outward shell whose box holds a hollow's box.
SolidShell* around(std::vector<SolidShell>& shells, const SolidShell& hollow) {
  SolidShell* best = nullptr;
  for (SolidShell& shell : shells) {
    if (shell.volume > 0 && shell.box.contains(hollow.box) && (!best || shell.box.volume() < best->box.volume())) {
      best = &shell;
    }
  }
  return best;
}

Mesh extracted(const Mesh& mesh, std::vector<std::uint32_t> triangles) {
  std::sort(triangles.begin(), triangles.end());
  Mesh part;
  std::vector<std::uint32_t> number(mesh.positions.size(), kNoShell);
  for (const std::uint32_t t : triangles) {
    Triangle renamed{};
    for (std::size_t k = 0; k < 3; ++k) {
      std::uint32_t& n = number[mesh.triangles[t][k]];
      if (n == kNoShell) {
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
  std::vector<SolidShell> shells = solid_shells_of(mesh);
  for (SolidShell& hollow : shells) {
    if (hollow.volume >= 0) continue;
    SolidShell* host = around(shells, hollow);
    if (!host) continue;
    host->triangles.insert(host->triangles.end(), hollow.triangles.begin(), hollow.triangles.end());
    hollow.triangles.clear();
  }
  std::stable_sort(shells.begin(), shells.end(),
                   [](const SolidShell& a, const SolidShell& b) { return a.volume > b.volume; });
  std::vector<Mesh> parts;
  for (SolidShell& shell : shells) {
    if (!shell.triangles.empty()) parts.push_back(extracted(mesh, std::move(shell.triangles)));
  }
  return parts;
}

}  // namespace intercusp
