#include "surgery/splint_solid.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <unordered_map>

#include "base/parallel.h"
#include "geometry/largest_part.h"
#include "geometry/mesh_check.h"
#include "geometry/self_crossings.h"
#include "surgery/divide_triangle.h"
#include "surgery/imprint_room.h"
#include "surgery/splint_text.h"

namespace intercusp {
namespace {

constexpr int kDivisions = 2;      ///< rounds of dividing edges, as the tolerance asks; finer triangles fold
constexpr double kTooFar = 0.015;  ///< what stands this much farther from a tooth than the clearance is drawn back, mm
constexpr int kMendings = 3;
constexpr int kExactRounds = 8;
constexpr int kTakingBack = 4;
constexpr int kFoldRounds = 2;
constexpr float kFolded = 0.9f;         ///< cosine between neighbours that make a fold
constexpr float kFoldedLongest = 0.1f;  ///< no triangle with shorter edges is looked at for that, mm
constexpr int kPatchRings = 4;          ///< around what is to be unfolded
constexpr int kTries = 6;               ///< with more and more room given to what cannot be mended
constexpr double kFaultRoom = 0.5;      ///< radius of that room, mm
constexpr double kTooNear = 0.012;     ///< what stands this much nearer to a tooth than the clearance is pushed off, mm
constexpr double kBetween = 0.15;      ///< arches whose distances differ by less may both be near, mm
constexpr int kSteps = 4;              ///< of a projection
constexpr int kStepsToLook = 1;        ///< of one that is only looked at
constexpr double kFarthestBack = 0.1;  ///< what stands farther off than this is left there, mm
constexpr double kSteepestMiddle = 0.6;  ///< an edge whose middle lies farther off than this share of it is left alone
constexpr double kWhole = 0.75;          ///< share of the material that must hang together
constexpr double kSampling = 1.0;        ///< of the material, mm

/// Where the last answers of both arches lay: the next ones are mostly near.
struct LastFound {
  std::uint32_t upper = SeatField::kAnywhere, lower = SeatField::kAnywhere;
};

/// A point moved onto the imprint that it belongs to, where it belongs to one.
class ImprintSnap {
 public:
  ImprintSnap(const SplintParts& parts, const SplintField& field, const SplintSettings& settings)
      : parts_(parts),
        field_(field),
        clearance_(settings.clearance_mm),
        reach_(0.9 * settings.step_mm),
        steps_(settings.to_print ? kSteps : kStepsToLook) {}

  /// Which surface bounds the splint at `p`, by the grids alone.
  SplintPart nearest_part(const Vec3& p) const {
    const double body = field_.body(p), upper = clearance_ - parts_.upper->value(p);
    const double lower = clearance_ - parts_.lower->value(p);
    const double tightest = std::max(upper, lower);
    if (tightest < body - 0.02 || tightest < field_.film(p) - 0.02) return SplintPart::outside;
    return upper >= lower ? SplintPart::upper_imprint : SplintPart::lower_imprint;
  }

  /// Steps onto the exact imprints; stays within reach of where it began.
  SplintPart snap(Vec3f& stored, LastFound& last) const {
    const Vec3 start = stored.cast<double>();
    SplintPart part = nearest_part(start);
    if (part == SplintPart::outside) return part;
    Vec3 p = start;
    for (int step = 0; step < steps_; ++step) {
      const SeatField::Exact upper = near(true, p, last), lower = near(false, p, last);
      const bool is_upper = upper.distance_mm <= lower.distance_mm;
      const SeatField::Exact& tight = is_upper ? upper : lower;
      part = is_upper ? SplintPart::upper_imprint : SplintPart::lower_imprint;
      const double off = clearance_ - tight.distance_mm;
      if (std::abs(off) < 2e-4) break;
      p += off * tight.away;
      const Vec3 moved = p - start;
      if (moved.norm() > reach_) p = start + moved * (reach_ / moved.norm());
    }
    stored = p.cast<float>();
    return part;
  }

  SplintPart nearer_arch(const Vec3& p) const {
    return parts_.upper->value(p) <= parts_.lower->value(p) ? SplintPart::upper_imprint : SplintPart::lower_imprint;
  }

  /// Whether both arches are about as near.
  bool between_arches(const Vec3& p) const {
    return std::abs(parts_.upper->value(p) - parts_.lower->value(p)) < kBetween;
  }

  /// How far a point is off the imprint named, mm, and where it belongs.
  double off_by(const Vec3& p, SplintPart part, LastFound& last, Vec3& onto) const {
    const bool upper = part == SplintPart::upper_imprint;
    const SeatField::Exact found = (upper ? *parts_.upper : *parts_.lower).exact(p, upper ? &last.upper : &last.lower);
    const double off = clearance_ - found.distance_mm;
    onto = p + off * found.away;
    return off;
  }

  /// How a point must move to stand off both arches; zero where it does.
  Vec3 push(const Vec3& p, LastFound& last) const {
    Vec3 by = Vec3::Zero();
    for (const bool upper : {true, false}) {
      const SeatField::Exact found = near(upper, p, last);
      if (found.distance_mm < clearance_ - kTooNear) by += (clearance_ - found.distance_mm) * found.away;
    }
    return by;
  }

 private:
  /// Exact only where it can matter.
  SeatField::Exact near(bool upper, const Vec3& p, LastFound& last) const {
    const SeatField& seat = upper ? *parts_.upper : *parts_.lower;
    const double coarse = seat.value(p);
    if (coarse < clearance_ + 0.15) return seat.exact(p, upper ? &last.upper : &last.lower);
    SeatField::Exact far;
    far.distance_mm = coarse;
    return far;
  }

  const SplintParts& parts_;
  const SplintField& field_;
  double clearance_, reach_;
  int steps_;
};

void snap_all(SplintSolid& solid, const ImprintSnap& snap) {
  solid.part.assign(solid.mesh.positions.size(), SplintPart::outside);
  in_halves(solid.mesh.positions.size(), 500, [&](std::size_t begin, std::size_t end) {
    LastFound last;
    for (std::size_t v = begin; v < end; ++v) solid.part[v] = snap.snap(solid.mesh.positions[v], last);
  });
}

struct EdgeMiddle {
  std::uint32_t a, b;
  SplintPart part;
  bool divide = false, left = false;
  Vec3f at = Vec3f::Zero();
  std::uint32_t vertex = 0;
};

std::uint64_t edge_key(std::uint32_t a, std::uint32_t b) {
  return (static_cast<std::uint64_t>(std::min(a, b)) << 32) | std::max(a, b);
}

/// Edges with an end in an imprint (`part`: of both ends, else outside) and one among the vertices from `first` on, in
/// the order of the triangles, and where each is found.
std::vector<EdgeMiddle> imprint_edges(const SplintSolid& solid, std::size_t first,
                                      std::unordered_map<std::uint64_t, std::uint32_t>& at) {
  std::vector<EdgeMiddle> edges;
  for (const Triangle& t : solid.mesh.triangles) {
    for (std::size_t k = 0; k < 3; ++k) {
      const std::uint32_t a = t[k], b = t[(k + 1) % 3];
      if (a > b || b < first || (solid.part[a] == SplintPart::outside && solid.part[b] == SplintPart::outside))
        continue;
      at.emplace(edge_key(a, b), static_cast<std::uint32_t>(edges.size()));
      edges.push_back({a, b, solid.part[a] == solid.part[b] ? solid.part[a] : SplintPart::outside});
    }
  }
  return edges;
}

/// What dividing has measured: edges between the first `vertices`, but where both ends are `left`.
struct Measured {
  std::size_t vertices = 0;
  std::vector<char> left;  ///< an edge here comes too near to a tooth and was not divided

  bool edge(std::uint32_t a, std::uint32_t b) const { return std::max(a, b) < vertices && !(left[a] && left[b]); }
};

/// One round, of the edges that the last one made (`measured.vertices`); whether anything was divided.
bool divide_edges(SplintSolid& solid, const ImprintSnap& snap, double tolerance, Measured& measured) {
  std::unordered_map<std::uint64_t, std::uint32_t> at;
  std::vector<EdgeMiddle> edges = imprint_edges(solid, measured.vertices, at);
  in_halves(edges.size(), 500, [&](std::size_t begin, std::size_t end) {
    LastFound last;
    for (std::size_t e = begin; e < end; ++e) {
      EdgeMiddle& edge = edges[e];
      const Vec3 a = solid.mesh.positions[edge.a].cast<double>(), b = solid.mesh.positions[edge.b].cast<double>();
      const bool one_imprint = edge.part != SplintPart::outside;
      const Vec3 middle = 0.5 * (a + b);
      if (!one_imprint) edge.part = snap.nearer_arch(middle);
      Vec3 onto;
      const double off = snap.off_by(middle, edge.part, last, onto);  // positive: too near
      edge.divide = off > tolerance || (one_imprint && off < -tolerance);
      edge.divide = edge.divide && std::abs(off) < kSteepestMiddle * (a - b).norm();
      edge.left = !edge.divide && off > kTooNear;
      edge.at = onto.cast<float>();
    }
  });
  bool any = false;
  measured.vertices = solid.mesh.positions.size();
  measured.left.resize(measured.vertices, 0);
  for (EdgeMiddle& edge : edges) {
    if (edge.left) measured.left[edge.a] = measured.left[edge.b] = 1;
    if (!edge.divide) continue;
    any = true;
    edge.vertex = static_cast<std::uint32_t>(solid.mesh.positions.size());
    solid.mesh.positions.push_back(edge.at);
    solid.part.push_back(edge.part);
  }
  std::vector<Triangle> triangles;
  triangles.reserve(solid.mesh.triangles.size());
  for (const Triangle& t : solid.mesh.triangles) {
    std::array<std::uint32_t, 3> middle{0, 0, 0};
    for (std::size_t k = 0; k < 3; ++k) {
      const auto found = at.find(edge_key(t[k], t[(k + 1) % 3]));
      if (found != at.end()) middle[k] = edges[found->second].vertex;
    }
    divide_triangle(t, middle, triangles);
  }
  solid.mesh.triangles = std::move(triangles);
  return any;
}

/// How the middle of a triangle and of those edges that are its to look at must move; the longer of them.
Vec3 push_of_triangle(const Mesh& mesh, std::size_t t, const Measured& measured, const ImprintSnap& snap,
                      LastFound& last) {
  const Triangle& k = mesh.triangles[t];
  const std::array<Vec3, 3> corner{mesh.corner(t, 0), mesh.corner(t, 1), mesh.corner(t, 2)};
  Vec3 most = snap.push((corner[0] + corner[1] + corner[2]) / 3, last);
  for (std::size_t e = 0; e < 3; ++e) {
    const std::size_t next = (e + 1) % 3;
    if (k[e] > k[next]) continue;
    const Vec3 middle = 0.5 * (corner[e] + corner[next]);
    if (measured.edge(k[e], k[next]) && !snap.between_arches(middle)) continue;
    const Vec3 push = snap.push(middle, last);
    if (push.squaredNorm() > most.squaredNorm()) most = push;
  }
  return most;
}

/// Corners too near to a tooth, and triangles whose middle or the middle of an edge is, move off it: a ridge sharper
/// than the grid gets a little more room instead of finer triangles, which would fold. Only what has a `fresh` corner
/// is looked at; afterwards the moved ones are fresh. Whether anything moved.
bool push_off(SplintSolid& solid, const ImprintSnap& snap, const Measured& measured, std::vector<char>& fresh) {
  Mesh& mesh = solid.mesh;
  std::vector<Vec3f> by(mesh.triangles.size(), Vec3f::Zero()), move(mesh.positions.size(), Vec3f::Zero());
  in_halves(mesh.triangles.size(), 500, [&](std::size_t begin, std::size_t end) {
    LastFound last;
    for (std::size_t t = begin; t < end; ++t) {
      const Triangle& k = mesh.triangles[t];
      if (fresh[k[0]] || fresh[k[1]] || fresh[k[2]])
        by[t] = push_of_triangle(mesh, t, measured, snap, last).cast<float>();
    }
  });
  in_halves(move.size(), 500, [&](std::size_t begin, std::size_t end) {
    LastFound last;
    for (std::size_t v = begin; v < end; ++v) {
      if (fresh[v]) move[v] = snap.push(mesh.positions[v].cast<double>(), last).cast<float>();
    }
  });
  for (std::size_t t = 0; t < by.size(); ++t) {
    for (const std::uint32_t v : mesh.triangles[t]) {
      if (by[t].squaredNorm() > move[v].squaredNorm()) move[v] = by[t];
    }
  }
  bool any = false;
  for (std::size_t v = 0; v < move.size(); ++v) {
    fresh[v] = move[v].squaredNorm() > 0;
    any = any || fresh[v];
    mesh.positions[v] += move[v];
  }
  return any;
}

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

/// Unfolds what crosses near the marked vertices; whether all of it. The moved ones become fresh.
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

/// Pairs of which one triangle has a corner that moved.
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

void join_marks(const std::vector<char>& from, std::vector<char>& to) {
  for (std::size_t v = 0; v < to.size(); ++v) to[v] = to[v] || from[v];
}

/// Unfolds what crosses and pushes off what comes too near to a tooth, in turns. Returns the places where that came to
/// no end: there the scan is at fault, mostly where it folds over itself between two teeth.
std::vector<Vec3> mend_folds(SplintSolid& solid, const ImprintSnap& snap, const Measured& divided) {
  Mesh& mesh = solid.mesh;
  std::vector<char> fresh(mesh.positions.size(), 1), marked(mesh.positions.size(), 0);
  std::vector<char> unproved = fresh;  // around these something may cross
  bool crossed = false, pushed = true;
  const auto look = [&] {
    crossed = mark_crossings(mesh, unproved, marked);
    std::fill(unproved.begin(), unproved.end(), 0);
    join_marks(marked, unproved);
  };
  bool known = false;  // that nothing crosses beyond the patches
  for (int round = 0; round < kMendings; ++round) {
    pushed = push_off(solid, snap, round == 0 ? divided : Measured(), fresh);
    join_marks(fresh, unproved);
    if (!pushed && !crossed && !known) {
      look();
      known = true;
    }
    if (!pushed && !crossed) break;
    join_marks(fresh, marked);
    crossed = !unfold(mesh, marked, fresh);
    join_marks(fresh, unproved);
    if (!crossed) std::fill(marked.begin(), marked.end(), 0);
    known = false;
  }
  if (!known) look();
  std::vector<Vec3> places;
  if (!pushed && !crossed) return places;
  for (std::size_t v = 0; v < mesh.positions.size(); ++v) {
    if (marked[v] || fresh[v]) places.push_back(mesh.positions[v].cast<double>());
  }
  return places;
}

/// The thickest place found and how much material there is, by samples.
struct Material {
  Vec3 inside = Vec3::Zero();
  double depth_mm = 0, volume_mm3 = 0;
};

Material sample_level(const SplintField& field, const Box& box, double z) {
  Material found;
  for (double y = box.min().y(); y <= box.max().y(); y += kSampling) {
    for (double x = box.min().x(); x <= box.max().x(); x += kSampling) {
      const double value = field.value(Vec3(x, y, z));
      if (value >= 0) continue;
      found.volume_mm3 += kSampling * kSampling * kSampling;
      if (value >= -found.depth_mm) continue;
      found.depth_mm = -value;
      found.inside = Vec3(x, y, z);
    }
  }
  return found;
}

Material sample_material(const SplintField& field, const Box& box) {
  std::vector<Material> levels(static_cast<std::size_t>(box.sizes().z() / kSampling) + 1);
  in_halves(levels.size(), 2, [&](std::size_t begin, std::size_t end) {
    for (std::size_t k = begin; k < end; ++k)
      levels[k] = sample_level(field, box, box.min().z() + static_cast<double>(k) * kSampling);
  });
  Material found;
  for (const Material& level : levels) {
    found.volume_mm3 += level.volume_mm3;
    if (level.depth_mm <= found.depth_mm) continue;
    found.depth_mm = level.depth_mm;
    found.inside = level.inside;
  }
  return found;
}

/// What is no splint, so that the isosurface, which joins what is thinner than its grid, joins room and not material.
class SplintRoom : public ScalarField {
 public:
  explicit SplintRoom(const SplintField& field) : field_(field) {}
  double value(const Vec3& p) const override { return -field_.value(p); }

 private:
  const SplintField& field_;
};

/// The surface around the material at `inside`, outward.
Mesh surface_of(const SplintField& field, const Box& box, double step, const Vec3& inside) {
  Vec3 outside = inside;
  while (field.value(outside) <= step && box.contains(outside)) outside.x() += 0.5 * step;
  Mesh mesh = polygonise(SplintRoom(field), box, step, outside);
  for (Triangle& t : mesh.triangles) std::swap(t[1], t[2]);
  keep_largest_part(mesh);
  return mesh;
}

Error falls_apart(double share) {
  return Error{"the splint falls apart: only " + std::to_string(static_cast<int>(std::lround(100 * share))) +
                   " % of it hangs together, the teeth leave too little room between them",
               "", "open the bite, or widen the rim"};
}

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
      if (off > -kTooFar || off < -kFarthestBack) continue;
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
      double farthest = kTooFar;
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
    const std::vector<TightSpot> spots = tight_spots(solid.mesh, fresh, parts, clearance - kTooNear);
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

/// The clearance by all triangles; see give_exact_room. What is drawn back or follows a fold only where that leaves
/// room.
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

/// Onto the exact imprints; see mend_folds.
std::vector<Vec3> follow_imprints(SplintSolid& solid, const SplintParts& parts, const SplintField& field,
                                  const SplintSettings& settings, const Progress& progress) {
  const ImprintSnap snap(parts, field, settings);
  snap_all(solid, snap);
  const std::vector<char> all(solid.mesh.positions.size(), 1);
  std::vector<char> marked(all.size(), 0), moved = marked;
  if (mark_crossings(solid.mesh, all, marked)) unfold(solid.mesh, marked, moved);  // before the folds are divided
  Measured divided;
  for (int round = 0; round < kDivisions && !progress.cancelled(); ++round) {
    if (!divide_edges(solid, snap, settings.tolerance_mm, divided)) break;
  }
  progress.report(0.7);
  const std::vector<Vec3> faults = mend_folds(solid, snap, settings.tolerance_mm > kTooNear ? Measured() : divided);
  if (!faults.empty() || progress.cancelled()) return faults;
  keep_clearance(solid, parts, snap, settings.clearance_mm);
  return faults;
}

}  // namespace

double SplintField::body(const Vec3& p) const {
  double value = parts_.form->value(p);
  const bool near_wall = value > -SplintText::kStroke && value < SplintText::kProud + 1;
  if (parts_.text && near_wall) value = std::min(value, parts_.text->value(p, value));
  if (parts_.bored) value = std::max(value, -parts_.bored->value(p));
  for (const Ball& room : rooms_) value = std::max(value, room.radius_mm - (p - room.middle).norm());
  return value;
}

void SplintField::give_room(const std::vector<Vec3>& places, double radius_mm) {
  for (const Vec3& place : places) {
    bool given = false;
    for (const Ball& room : rooms_) given = given || (room.middle - place).norm() < 0.8 * room.radius_mm;
    if (!given) rooms_.push_back({place, radius_mm});
  }
}

double SplintField::film(const Vec3& p) const {
  return open_below_ + 2 * clearance_ - parts_.upper->value(p) - parts_.lower->value(p);
}

double SplintField::value(const Vec3& p) const {
  const double upper = parts_.upper->value(p) - clearance_, lower = parts_.lower->value(p) - clearance_;
  // Between the arches what is left is as thick as both distances together.
  return std::max({body(p), -upper, -lower, open_below_ - upper - lower});
}

Result<SplintSolid> make_solid(const SplintParts& parts, const SplintSettings& settings, const Progress& progress) {
  SplintField field(parts, settings);
  Box box = parts.box;
  const Material material = sample_material(field, box);
  if (material.depth_mm <= 0) return falls_apart(0);
  box = Box(box.min() - Vec3::Constant(3 * settings.step_mm + 1), box.max() + Vec3::Constant(3 * settings.step_mm + 1));
  for (int attempt = 0; attempt < kTries; ++attempt) {
    SplintSolid solid;
    solid.mesh = surface_of(field, box, settings.step_mm, material.inside);
    const double share = signed_volume(solid.mesh) / material.volume_mm3;
    if (share < kWhole) return falls_apart(std::max(0.0, share));
    progress.report(0.55);
    if (!settings.to_print) {
      snap_all(solid, ImprintSnap(parts, field, settings));
      return solid;
    }
    const std::vector<Vec3> faults = follow_imprints(solid, parts, field, settings, progress);
    solid.rooms = field.rooms();
    if (faults.empty() && check_mesh(solid.mesh).closed()) return solid;
    if (progress.cancelled()) break;
    field.give_room(faults, kFaultRoom + 0.2 * attempt);
  }
  return Error{"the splint could not be made sound: its triangles cross where a scan is at fault", "",
               "mend the scans where they fold over themselves, or choose another grid spacing"};
}

}  // namespace intercusp
