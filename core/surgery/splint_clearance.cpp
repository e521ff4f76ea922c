#include "surgery/splint_clearance.h"

#include <algorithm>
#include <unordered_map>

#include "base/parallel.h"
#include "geometry/edge_key.h"
#include "surgery/imprint_room.h"
#include "surgery/splint_unfold.h"

namespace intercusp {
namespace {

constexpr int kExactRounds = 8;
constexpr int kTakingBack = 4;
constexpr int kFoldRounds = 2;
constexpr float kFolded = 0.9f;         ///< cosine between neighbours that make a fold
constexpr float kFoldedLongest = 0.1f;  ///< no triangle with shorter edges is looked at for that, mm
constexpr double kFarthestBack = 0.1;   ///< what stands farther off than this is left there, mm

/// Vertices whose triangles all belong to their own imprint.
std::vector<char> inside_imprints(const SplintSolid& solid) {
  std::vector<char> inside(solid.part.size(), 1);
  for (const Triangle& t : solid.mesh.triangles) {
    const SplintPart part = solid.part[t[0]];
    const bool one = part != SplintPart::outside && solid.part[t[1]] == part && solid.part[t[2]] == part;
    for (const std::uint32_t v : t) inside[v] = inside[v] && one;
  }
  return inside;
}

/// Takes back moves that made something cross: half of them first, then the whole.
void keep_sound_moves(Mesh& mesh, const std::vector<Vec3f>& before, const std::vector<char>& moved) {
  std::vector<char> marked(moved.size(), 0), halved = marked;
  for (int round = 0; round < kTakingBack; ++round) {
    std::fill(marked.begin(), marked.end(), 0);
    if (!mark_crossings(mesh, moved, marked)) return;
    for (std::size_t v = 0; v < marked.size(); ++v) {
      if (!marked[v]) continue;
      mesh.positions[v] = halved[v] ? before[v] : Vec3f(0.5f * (before[v] + mesh.positions[v]));
      halved[v] = 1;
    }
  }
  mesh.positions = before;
}

/// What was pushed off for the sake of its surroundings goes back onto the imprint; where that folds something, it does
/// not. What then comes too near is for give_exact_room, which divides. Returns
/// which vertices stand off all the same.
std::vector<char> draw_back(SplintSolid& solid, const ImprintSnap& snap) {
  const std::vector<char> inside = inside_imprints(solid);
  const std::vector<Vec3f> before = solid.mesh.positions;
  std::vector<char> moved(before.size(), 0);
  in_halves(before.size(), 500, [&](std::size_t begin, std::size_t end) {
    LastFound last;
    for (std::size_t v = begin; v < end; ++v) {
      if (!inside[v]) continue;
      Vec3 onto;
      const double off = snap.off_by(before[v].cast<double>(), solid.part[v], last, onto);
      if (off > -ImprintSnap::kTooFar || off < -kFarthestBack) continue;
      solid.mesh.positions[v] = onto.cast<float>();
      moved[v] = 1;
    }
  });
  const std::vector<Vec3f> aimed = solid.mesh.positions;
  keep_sound_moves(solid.mesh, before, moved);
  std::vector<char> off(before.size());
  for (std::size_t v = 0; v < off.size(); ++v) off[v] = aimed[v] != solid.mesh.positions[v];
  return off;
}

/// Triangles of one imprint at an edge that folds or at a vertex `standing` off, and not small: their middles and
/// edges may stand off.
std::vector<std::uint32_t> folded_triangles(const SplintSolid& solid, const std::vector<char>& standing) {
  const Mesh& mesh = solid.mesh;
  std::unordered_map<std::uint64_t, std::uint32_t> met;
  std::vector<char> folded(mesh.triangles.size(), 0);
  std::vector<Vec3f> normal(mesh.triangles.size());
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
    const Triangle& k = mesh.triangles[t];
    const Vec3f a = mesh.positions[k[0]], ab = mesh.positions[k[1]] - a, ac = mesh.positions[k[2]] - a;
    normal[t] = ab.cross(ac).stableNormalized();
    const SplintPart part = solid.part[k[0]];
    if (part == SplintPart::outside || solid.part[k[1]] != part || solid.part[k[2]] != part) continue;
    const float longest = std::max({ab.squaredNorm(), ac.squaredNorm(), (ac - ab).squaredNorm()});
    if (longest < kFoldedLongest * kFoldedLongest) continue;
    folded[t] = std::any_of(k.begin(), k.end(), [&](std::uint32_t v) { return v < standing.size() && standing[v]; });
    for (std::size_t e = 0; e < 3; ++e) {
      const auto [other, first] = met.emplace(edge_key(k[e], k[(e + 1) % 3]), t);
      if (!first && normal[t].dot(normal[other->second]) < kFolded) folded[t] = folded[other->second] = 1;
    }
  }
  std::vector<std::uint32_t> found;
  for (std::uint32_t t = 0; t < folded.size(); ++t)
    if (folded[t]) found.push_back(t);
  return found;
}

/// Where a fold of the imprint is cut off: in its middle or on an edge, what stands too far off is divided there and
/// put onto the imprint. Once.
void follow_folds(SplintSolid& solid, const ImprintSnap& snap, const std::vector<char>& standing) {
  const std::vector<std::uint32_t> folded = folded_triangles(solid, standing);
  std::vector<TightSpot> spots(folded.size());
  in_halves(folded.size(), 200, [&](std::size_t begin, std::size_t end) {
    LastFound last;
    for (std::size_t i = begin; i < end; ++i) {
      const Vec3 a = solid.mesh.corner(folded[i], 0), b = solid.mesh.corner(folded[i], 1),
                 c = solid.mesh.corner(folded[i], 2);
      double farthest = ImprintSnap::kTooFar;
      for (const Vec3& p : {Vec3((a + b + c) / 3), Vec3(0.5 * (a + b)), Vec3(0.5 * (b + c)), Vec3(0.5 * (c + a))}) {
        Vec3 onto;
        const double off = -snap.off_by(p, solid.part[solid.mesh.triangles[folded[i]][0]], last, onto);
        if (off <= farthest || off > kFarthestBack) continue;
        farthest = off;
        spots[i] = {folded[i], solid.part[solid.mesh.triangles[folded[i]][0]], {off, p, onto}};
      }
    }
  });
  spots.erase(std::remove_if(spots.begin(), spots.end(), [](const TightSpot& s) { return s.gap.distance_mm == 0; }),
              spots.end());
  if (spots.empty()) return;
  const SplintSolid before = solid;
  std::vector<char> fresh(solid.mesh.positions.size(), 0);
  move_at(solid, spots, fresh);
  std::vector<char> marked(fresh.size(), 0);
  if (mark_crossings(solid.mesh, fresh, marked) && !unfold(solid.mesh, marked, fresh)) solid = before;
}

/// Samples of triangles miss places where the scan stands out between them: what is too near by all triangles of both
/// is divided there and moved off; only triangles with a `fresh` corner are looked at. Where that folds what cannot be
/// unfolded, the splint is left as it was then; false.
bool give_exact_room(SplintSolid& solid, const SplintParts& parts, double clearance, std::vector<char> fresh) {
  for (int round = 0; round < kExactRounds; ++round) {
    const std::vector<TightSpot> spots = tight_spots(solid.mesh, fresh, parts, clearance - ImprintSnap::kTooNear);
    if (spots.empty()) return true;
    const SplintSolid before = solid;
    fresh.assign(solid.mesh.positions.size(), 0);
    make_room_at(solid, spots, clearance, fresh);
    std::vector<char> marked(fresh.size(), 0);
    if (!mark_crossings(solid.mesh, fresh, marked) || unfold(solid.mesh, marked, fresh)) continue;
    solid = before;
    return false;
  }
  return false;
}

/// Vertices that are new or elsewhere.
std::vector<char> changed_since(const Mesh& before, const Mesh& now) {
  std::vector<char> changed(now.positions.size(), 1);
  for (std::size_t v = 0; v < before.positions.size(); ++v) changed[v] = before.positions[v] != now.positions[v];
  return changed;
}

}  // namespace

void keep_clearance(SplintSolid& solid, const SplintParts& parts, const ImprintSnap& snap, double clearance) {
  const auto all = [&] { return std::vector<char>(solid.mesh.positions.size(), 1); };
  SplintSolid before = solid;
  std::vector<char> off = draw_back(solid, snap);
  for (int round = 0; round < kFoldRounds; ++round) follow_folds(solid, snap, off);
  if (!give_exact_room(solid, parts, clearance, all())) {
    solid = before;
    give_exact_room(solid, parts, clearance, all());
    return;
  }
  before = solid;  // that made room beside some corners as well, where none was needed
  off = draw_back(solid, snap);
  follow_folds(solid, snap, off);
  if (!give_exact_room(solid, parts, clearance, changed_since(before.mesh, solid.mesh))) solid = before;
}

}  // namespace intercusp
