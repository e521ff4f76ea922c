#include "surgery/splint_unfold.h"

#include <algorithm>

#include "geometry/self_crossings.h"

namespace intercusp {
namespace {

constexpr int kPatchRings = 4;  ///< around what is to be unfolded

/// The part of a mesh around some of its vertices; `fixed`: those that triangles outside of it use as well.
struct Patch {
  Mesh mesh;
  std::vector<std::uint32_t> own;  ///< vertex in the whole mesh
  std::vector<bool> fixed;
};

Patch patch_around(const Mesh& mesh, std::vector<char> marked) {
  for (int ring = 0; ring < kPatchRings; ++ring) {
    const std::vector<char> before = marked;
    for (const Triangle& t : mesh.triangles) {
      if (before[t[0]] || before[t[1]] || before[t[2]]) marked[t[0]] = marked[t[1]] = marked[t[2]] = 1;
    }
  }
  Patch patch;
  std::vector<std::uint32_t> renamed(mesh.positions.size(), 0);
  for (std::uint32_t v = 0; v < renamed.size(); ++v) {
    if (!marked[v]) continue;
    renamed[v] = static_cast<std::uint32_t>(patch.own.size());
    patch.own.push_back(v);
    patch.mesh.positions.push_back(mesh.positions[v]);
  }
  patch.fixed.assign(patch.own.size(), false);
  for (const Triangle& t : mesh.triangles) {
    const bool whole = marked[t[0]] && marked[t[1]] && marked[t[2]];
    if (whole) patch.mesh.triangles.push_back({renamed[t[0]], renamed[t[1]], renamed[t[2]]});
    for (const std::uint32_t v : t) {
      if (!whole && marked[v]) patch.fixed[renamed[v]] = true;
    }
  }
  return patch;
}

}  // namespace

bool unfold(Mesh& mesh, const std::vector<char>& marked, std::vector<char>& fresh) {
  Patch patch = patch_around(mesh, marked);
  const bool done = untangle(patch.mesh, patch.fixed) == 0;
  for (std::size_t v = 0; v < patch.own.size(); ++v) {
    Vec3f& position = mesh.positions[patch.own[v]];
    if (position == patch.mesh.positions[v]) continue;
    position = patch.mesh.positions[v];
    fresh[patch.own[v]] = 1;
  }
  return done;
}

bool unfold_moved(Mesh& mesh, std::vector<char>& moved, std::vector<char>& crossing) {
  constexpr int kUnfoldings = 3;
  for (int attempt = 0; attempt < kUnfoldings; ++attempt) {
    std::fill(crossing.begin(), crossing.end(), 0);
    if (!mark_crossings(mesh, moved, crossing)) return true;
    if (!unfold(mesh, crossing, moved)) break;
  }
  std::fill(crossing.begin(), crossing.end(), 0);
  return !mark_crossings(mesh, moved, crossing);
}

std::vector<Vec3> places_of(const Mesh& mesh, const std::vector<char>& marked) {
  std::vector<Vec3> places;
  for (std::size_t v = 0; v < marked.size(); ++v)
    if (marked[v]) places.push_back(mesh.positions[v].cast<double>());
  return places;
}

bool mark_crossings(const Mesh& mesh, const std::vector<char>& moved, std::vector<char>& marked) {
  std::vector<bool> only(mesh.triangles.size());
  for (std::size_t t = 0; t < only.size(); ++t) {
    const Triangle& k = mesh.triangles[t];
    only[t] = moved[k[0]] || moved[k[1]] || moved[k[2]];
  }
  const std::vector<TrianglePair> pairs = self_crossings(mesh, &only);
  for (const auto& [s, t] : pairs) {
    for (const std::uint32_t triangle : {s, t}) {
      for (const std::uint32_t v : mesh.triangles[triangle]) marked[v] = 1;
    }
  }
  return !pairs.empty();
}

}  // namespace intercusp
