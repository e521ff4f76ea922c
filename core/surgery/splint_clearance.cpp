#include "surgery/splint_clearance.h"

#include <algorithm>
#include <array>
#include <unordered_map>

#include "base/parallel.h"
#include "geometry/edge_key.h"
#include "surgery/imprint_room.h"
#include "surgery/splint_unfold.h"

namespace intercusp {
namespace {

constexpr int kExactRounds = 8;
constexpr int kTakingBack = 4;
constexpr int kFoldTries = 3;           ///< each without the places where the last one crossed itself
constexpr double kLeftAlone = 0.4;      ///< radius of such a place, mm
constexpr int kDrawTries = 3;           ///< likewise, where no room was left
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

/// Places where a splint stays as it is.
struct LeftAlone {
  std::vector<Vec3> places;

  bool holds(const Vec3& p) const {
    return std::any_of(places.begin(), places.end(), [&](const Vec3& q) { return (p - q).norm() < kLeftAlone; });
  }
  void add(const std::vector<Vec3>& more) {
    for (const Vec3& p : more) {
      const auto covers = [&](const Vec3& q) { return (p - q).norm() < 0.25 * kLeftAlone; };
      if (std::none_of(places.begin(), places.end(), covers)) places.push_back(p);
    }
  }
};

/// What was pushed off for the sake of its surroundings goes back onto the imprint; where that folds something, it does
/// not. What then comes too near is for give_exact_room, which divides. Only vertices in `look` are looked at. Returns
/// which stand off all the same.
std::vector<char> draw_back(SplintSolid& solid, const ImprintSnap& snap, double too_far_mm,
                            const std::vector<char>& look, const LeftAlone& left_alone) {
  const std::vector<char> inside = inside_imprints(solid);
  const std::vector<Vec3f> before = solid.mesh.positions;
  std::vector<char> moved(before.size(), 0);
  in_halves(before.size(), 500, [&](std::size_t begin, std::size_t end) {
    LastFound last;
    for (std::size_t v = begin; v < end; ++v) {
      if (!inside[v] || !look[v]) continue;
      Vec3 onto;
      const double off = snap.off_by(before[v].cast<double>(), solid.part[v], last, onto);
      if (off > -too_far_mm || off < -kFarthestBack || left_alone.holds(before[v].cast<double>())) continue;
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
std::vector<std::uint32_t> folded_triangles(const SplintSolid& solid, float folded_cosine,
                                            const std::vector<char>& standing) {
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
      if (!first && normal[t].dot(normal[other->second]) < folded_cosine) folded[t] = folded[other->second] = 1;
    }
  }
  std::vector<std::uint32_t> found;
  for (std::uint32_t t = 0; t < folded.size(); ++t)
    if (folded[t]) found.push_back(t);
  return found;
}

/// Moves a splint at the spots. Where that crosses what cannot be unfolded, it is left as it was, and these are the
/// places.
std::vector<Vec3> move_soundly(SplintSolid& solid, const std::vector<TightSpot>& spots) {
  const SplintSolid before = solid;
  std::vector<char> fresh(solid.mesh.positions.size(), 0);
  move_at(solid, spots, fresh);
  std::vector<char> crossing(fresh.size(), 0);
  if (unfold_moved(solid.mesh, fresh, crossing)) return {};
  std::vector<Vec3> places = places_of(solid.mesh, crossing);
  solid = before;
  return places;
}

/// The points of a folded triangle that are looked at.
std::array<Vec3, 4> fold_samples(const Mesh& mesh, std::uint32_t triangle) {
  const Vec3 a = mesh.corner(triangle, 0), b = mesh.corner(triangle, 1), c = mesh.corner(triangle, 2);
  return {Vec3((a + b + c) / 3), Vec3(0.5 * (a + b)), Vec3(0.5 * (b + c)), Vec3(0.5 * (c + a))};
}

/// The sample of each of these triangles that stands farthest off, where it is too far.
std::vector<TightSpot> standing_off(const SplintSolid& solid, const ImprintSnap& snap, double too_far_mm,
                                    const std::vector<std::uint32_t>& triangles) {
  std::vector<TightSpot> spots(triangles.size());
  in_halves(triangles.size(), 200, [&](std::size_t begin, std::size_t end) {
    LastFound last;
    for (std::size_t i = begin; i < end; ++i) {
      const SplintPart part = solid.part[solid.mesh.triangles[triangles[i]][0]];
      double farthest = too_far_mm;
      for (const Vec3& p : fold_samples(solid.mesh, triangles[i])) {
        Vec3 onto;
        const double off = -snap.off_by(p, part, last, onto);
        if (off <= farthest || off > kFarthestBack) continue;
        farthest = off;
        spots[i] = {triangles[i], part, {off, p, onto}};
      }
    }
  });
  return spots;
}

/// Where a fold of the imprint is cut off: in its middle or on an edge, what stands too far off is divided there and
/// put onto the imprint. Once. Places where that crosses what cannot be unfolded are left alone from then on.
void follow_folds(SplintSolid& solid, const ImprintSnap& snap, const Closeness& closeness,
                  const std::vector<char>& standing, LeftAlone& left_alone) {
  std::vector<TightSpot> spots =
      standing_off(solid, snap, closeness.too_far_mm, folded_triangles(solid, closeness.folded, standing));
  for (int attempt = 0; attempt < kFoldTries; ++attempt) {
    const auto not_wanted = [&](const TightSpot& s) {
      return s.gap.distance_mm == 0 || left_alone.holds(s.gap.on_first);
    };
    spots.erase(std::remove_if(spots.begin(), spots.end(), not_wanted), spots.end());
    if (spots.empty()) return;
    const std::vector<Vec3> crossing = move_soundly(solid, spots);
    if (crossing.empty()) return;
    left_alone.add(crossing);
  }
}

/// Samples of triangles miss places where the scan stands out between them: what is too near by all triangles of both
/// is divided there and moved off; only triangles with a `fresh` corner are looked at. Returns the places where that
/// came to no end, or folded what cannot be unfolded: the splint is left as it was then.
std::vector<Vec3> give_exact_room(SplintSolid& solid, const SplintParts& parts, double clearance,
                                  std::vector<char> fresh) {
  std::vector<Vec3> stuck;
  for (int round = 0; round < kExactRounds; ++round) {
    const std::vector<TightSpot> spots = tight_spots(solid.mesh, fresh, parts, clearance - ImprintSnap::kTooNear);
    stuck.clear();
    for (const TightSpot& spot : spots) stuck.push_back(spot.gap.on_first);
    if (spots.empty()) break;
    const SplintSolid before = solid;
    fresh.assign(solid.mesh.positions.size(), 0);
    make_room_at(solid, spots, clearance, fresh);
    std::vector<char> crossing(fresh.size(), 0);
    if (unfold_moved(solid.mesh, fresh, crossing)) continue;
    stuck = places_of(solid.mesh, crossing);
    solid = before;
    break;
  }
  return stuck;
}

/// Vertices that are new or elsewhere.
std::vector<char> changed_since(const Mesh& before, const Mesh& now) {
  std::vector<char> changed(now.positions.size(), 1);
  for (std::size_t v = 0; v < before.positions.size(); ++v) changed[v] = before.positions[v] != now.positions[v];
  return changed;
}

/// Brings a splint nearer to the imprints at `look` and gives it room again; then `look` is what to look at next. Where
/// that comes to no end it is tried again without these places. False: there was nothing to do, and the splint is as it
/// was.
bool bring_nearer(SplintSolid& solid, const SplintParts& parts, const ImprintSnap& snap, double clearance,
                  const Closeness& closeness, std::vector<char>& look, LeftAlone& left_alone) {
  const SplintSolid before = solid;
  for (int attempt = 0; attempt < kDrawTries; ++attempt) {
    const std::vector<char> off = draw_back(solid, snap, closeness.too_far_mm, look, left_alone);
    follow_folds(solid, snap, closeness, off, left_alone);
    const std::vector<char> fresh = changed_since(before.mesh, solid.mesh);
    if (std::find(fresh.begin(), fresh.end(), 1) == fresh.end()) return false;
    const std::vector<Vec3> stuck = give_exact_room(solid, parts, clearance, fresh);
    if (stuck.empty()) {
      look = changed_since(before.mesh, solid.mesh);  // making room moves some corners that had it, too
      for (std::size_t v = 0; v < off.size(); ++v) look[v] = look[v] || off[v];
      return true;
    }
    left_alone.add(stuck);
    solid = before;
  }
  return false;
}

}  // namespace

void keep_clearance(SplintSolid& solid, const SplintParts& parts, const ImprintSnap& snap, double clearance,
                    const Closeness& closeness) {
  const std::vector<char> all(solid.mesh.positions.size(), 1);
  give_exact_room(solid, parts, clearance, all);
  std::vector<char> look(solid.mesh.positions.size(), 1);
  LeftAlone left_alone;
  for (int round = 0; round < closeness.rounds; ++round)
    if (!bring_nearer(solid, parts, snap, clearance, closeness, look, left_alone)) return;
}

}  // namespace intercusp
