#include "surgery/splint_solid.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <unordered_map>

#include "base/parallel.h"
#include "geometry/largest_part.h"
#include "geometry/mesh_check.h"
#include "geometry/self_crossings.h"

namespace intercusp {
namespace {

constexpr int kDivisions = 2;  ///< rounds of dividing edges at most
constexpr int kMendings = 3;
constexpr int kPatchRings = 4;      ///< around what is to be unfolded
constexpr int kTries = 5;           ///< with more and more room given to what cannot be mended
constexpr double kFaultRoom = 0.5;  ///< radius of that room, mm
constexpr double kTooNear = 0.012;  ///< what stands this much nearer to a tooth than the clearance is pushed off, mm
constexpr int kSteps = 4;           ///< of a projection
constexpr double kSteepestMiddle = 0.6;  ///< an edge whose middle lies farther off than this share of it is left alone
constexpr double kWhole = 0.75;          ///< share of the material that must hang together
constexpr double kSampling = 1.0;        ///< of the material, mm

/// A point moved onto the imprint that it belongs to, where it belongs to one.
class ImprintSnap {
 public:
  ImprintSnap(const SplintParts& parts, const SplintField& field, const SplintSettings& settings)
      : parts_(parts), field_(field), clearance_(settings.clearance_mm), reach_(0.9 * settings.step_mm) {}

  /// Which surface bounds the splint at `p`, by the grids alone.
  SplintPart nearest_part(const Vec3& p) const {
    const double body = field_.body(p), upper = clearance_ - parts_.upper->value(p);
    const double lower = clearance_ - parts_.lower->value(p);
    const double tightest = std::max(upper, lower);
    if (tightest < body - 0.02 || tightest < field_.film(p) - 0.02) return SplintPart::outside;
    return upper >= lower ? SplintPart::upper_imprint : SplintPart::lower_imprint;
  }

  /// Steps onto the exact imprints; stays within reach of where it began.
  SplintPart snap(Vec3f& stored) const {
    const Vec3 start = stored.cast<double>();
    SplintPart part = nearest_part(start);
    if (part == SplintPart::outside) return part;
    Vec3 p = start;
    for (int step = 0; step < kSteps; ++step) {
      const SeatField::Exact upper = near(*parts_.upper, p), lower = near(*parts_.lower, p);
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

  /// How far a point is off the imprint named, mm, and where it belongs.
  double off_by(const Vec3& p, SplintPart part, Vec3& onto) const {
    const SeatField& seat = part == SplintPart::upper_imprint ? *parts_.upper : *parts_.lower;
    const SeatField::Exact found = seat.exact(p);
    const double off = clearance_ - found.distance_mm;
    onto = p + off * found.away;
    return off;
  }

  /// How a point must move to stand off both arches; zero where it does.
  Vec3 push(const Vec3& p) const {
    Vec3 by = Vec3::Zero();
    for (const SeatField* seat : {parts_.upper, parts_.lower}) {
      const SeatField::Exact found = near(*seat, p);
      if (found.distance_mm < clearance_ - kTooNear) by += (clearance_ - found.distance_mm) * found.away;
    }
    return by;
  }

 private:
  /// Exact only where it can matter.
  SeatField::Exact near(const SeatField& seat, const Vec3& p) const {
    const double coarse = seat.value(p);
    if (coarse < clearance_ + 0.15) return seat.exact(p);
    SeatField::Exact far;
    far.distance_mm = coarse;
    return far;
  }

  const SplintParts& parts_;
  const SplintField& field_;
  double clearance_, reach_;
};

void snap_all(SplintSolid& solid, const ImprintSnap& snap) {
  solid.part.assign(solid.mesh.positions.size(), SplintPart::outside);
  in_halves(solid.mesh.positions.size(), 500, [&](std::size_t begin, std::size_t end) {
    for (std::size_t v = begin; v < end; ++v) solid.part[v] = snap.snap(solid.mesh.positions[v]);
  });
}

struct EdgeMiddle {
  std::uint32_t a, b;
  SplintPart part;
  bool divide = false;
  Vec3f at = Vec3f::Zero();
  std::uint32_t vertex = 0;
};

std::uint64_t edge_key(std::uint32_t a, std::uint32_t b) {
  return (static_cast<std::uint64_t>(std::min(a, b)) << 32) | std::max(a, b);
}

/// Edges with an end in an imprint (`part`: of both ends, else outside), in the order of the triangles, and where each
/// is found.
std::vector<EdgeMiddle> imprint_edges(const SplintSolid& solid, std::unordered_map<std::uint64_t, std::uint32_t>& at) {
  std::vector<EdgeMiddle> edges;
  for (const Triangle& t : solid.mesh.triangles) {
    for (std::size_t k = 0; k < 3; ++k) {
      const std::uint32_t a = t[k], b = t[(k + 1) % 3];
      if (a > b || (solid.part[a] == SplintPart::outside && solid.part[b] == SplintPart::outside)) continue;
      at.emplace(edge_key(a, b), static_cast<std::uint32_t>(edges.size()));
      edges.push_back({a, b, solid.part[a] == solid.part[b] ? solid.part[a] : SplintPart::outside});
    }
  }
  return edges;
}

/// Two, three or four triangles for one, by which of its edges have a vertex in their middle (0: none).
void divide_triangle(const Triangle& t, const std::array<std::uint32_t, 3>& middle, std::vector<Triangle>& out) {
  const int count = (middle[0] != 0) + (middle[1] != 0) + (middle[2] != 0);
  if (count == 0) {
    out.push_back(t);
    return;
  }
  if (count == 3) {
    for (std::size_t k = 0; k < 3; ++k) out.push_back({t[k], middle[k], middle[(k + 2) % 3]});
    out.push_back({middle[0], middle[1], middle[2]});
    return;
  }
  // Turned so that edge 0 is the divided one, or edge 2 the whole one.
  std::size_t r = 0;
  while (count == 1 ? middle[r] == 0 : middle[(r + 2) % 3] != 0) ++r;
  const std::uint32_t a = t[r], b = t[(r + 1) % 3], c = t[(r + 2) % 3], m = middle[r], n = middle[(r + 1) % 3];
  out.push_back({m, b, count == 1 ? c : n});
  if (count == 1) {
    out.push_back({a, m, c});
    return;
  }
  out.push_back({a, m, n});
  out.push_back({a, n, c});
}

/// One round; whether anything was divided.
bool divide_edges(SplintSolid& solid, const ImprintSnap& snap, double tolerance) {
  std::unordered_map<std::uint64_t, std::uint32_t> at;
  std::vector<EdgeMiddle> edges = imprint_edges(solid, at);
  in_halves(edges.size(), 500, [&](std::size_t begin, std::size_t end) {
    for (std::size_t e = begin; e < end; ++e) {
      EdgeMiddle& edge = edges[e];
      const Vec3 a = solid.mesh.positions[edge.a].cast<double>(), b = solid.mesh.positions[edge.b].cast<double>();
      const bool one_imprint = edge.part != SplintPart::outside;
      const Vec3 middle = 0.5 * (a + b);
      if (!one_imprint) edge.part = snap.nearer_arch(middle);
      Vec3 onto;
      const double off = snap.off_by(middle, edge.part, onto);  // positive: too near
      edge.divide = off > tolerance || (one_imprint && off < -tolerance);
      edge.divide = edge.divide && std::abs(off) < kSteepestMiddle * (a - b).norm();
      edge.at = onto.cast<float>();
    }
  });
  bool any = false;
  for (EdgeMiddle& edge : edges) {
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
Vec3 push_of_triangle(const Mesh& mesh, std::size_t t, const ImprintSnap& snap) {
  const Triangle& k = mesh.triangles[t];
  const std::array<Vec3, 3> corner{mesh.corner(t, 0), mesh.corner(t, 1), mesh.corner(t, 2)};
  Vec3 most = snap.push((corner[0] + corner[1] + corner[2]) / 3);
  for (std::size_t e = 0; e < 3; ++e) {
    const std::size_t next = (e + 1) % 3;
    if (k[e] > k[next]) continue;
    const Vec3 push = snap.push(0.5 * (corner[e] + corner[next]));
    if (push.squaredNorm() > most.squaredNorm()) most = push;
  }
  return most;
}

/// Corners too near to a tooth, and triangles whose middle or the middle of an edge is, move off it: a ridge sharper
/// than the grid gets a little more room instead of finer triangles, which would fold. Only what has a `fresh` corner
/// is looked at; afterwards the moved ones are fresh. Whether anything moved.
bool push_off(SplintSolid& solid, const ImprintSnap& snap, std::vector<char>& fresh) {
  Mesh& mesh = solid.mesh;
  std::vector<Vec3f> by(mesh.triangles.size(), Vec3f::Zero()), move(mesh.positions.size(), Vec3f::Zero());
  in_halves(mesh.triangles.size(), 500, [&](std::size_t begin, std::size_t end) {
    for (std::size_t t = begin; t < end; ++t) {
      const Triangle& k = mesh.triangles[t];
      if (fresh[k[0]] || fresh[k[1]] || fresh[k[2]]) by[t] = push_of_triangle(mesh, t, snap).cast<float>();
    }
  });
  in_halves(move.size(), 500, [&](std::size_t begin, std::size_t end) {
    for (std::size_t v = begin; v < end; ++v) {
      if (fresh[v]) move[v] = snap.push(mesh.positions[v].cast<double>()).cast<float>();
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

bool mark_crossings(const Mesh& mesh, std::vector<char>& marked) {
  const std::vector<TrianglePair> pairs = self_crossings(mesh);
  for (const auto& [s, t] : pairs) {
    for (const std::uint32_t triangle : {s, t}) {
      for (const std::uint32_t v : mesh.triangles[triangle]) marked[v] = 1;
    }
  }
  return !pairs.empty();
}

/// Unfolds what crosses and pushes off what comes too near to a tooth, in turns. Returns the places where that came to
/// no end: there the scan is at fault, mostly where it folds over itself between two teeth.
std::vector<Vec3> mend_folds(SplintSolid& solid, const ImprintSnap& snap) {
  Mesh& mesh = solid.mesh;
  std::vector<char> fresh(mesh.positions.size(), 1), marked(mesh.positions.size(), 0);
  bool crossed = false, pushed = true;
  bool known = false;  // that nothing crosses beyond the patches
  for (int round = 0; round < kMendings; ++round) {
    pushed = push_off(solid, snap, fresh);
    if (!pushed && !crossed && !known) {
      crossed = mark_crossings(mesh, marked);
      known = true;
    }
    if (!pushed && !crossed) break;
    for (std::size_t v = 0; v < fresh.size(); ++v) marked[v] = marked[v] || fresh[v];
    crossed = !unfold(mesh, marked, fresh);
    if (!crossed) std::fill(marked.begin(), marked.end(), 0);
    known = false;
  }
  if (!known) crossed = mark_crossings(mesh, marked);
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

Material sample_material(const SplintField& field, const Box& box) {
  Material found;
  for (double z = box.min().z(); z <= box.max().z(); z += kSampling) {
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

/// Onto the exact imprints; see mend_folds.
std::vector<Vec3> follow_imprints(SplintSolid& solid, const SplintParts& parts, const SplintField& field,
                                  const SplintSettings& settings, const Progress& progress) {
  const ImprintSnap snap(parts, field, settings);
  snap_all(solid, snap);
  std::vector<char> marked(solid.mesh.positions.size(), 0), moved = marked;
  if (mark_crossings(solid.mesh, marked)) unfold(solid.mesh, marked, moved);  // before the folds are divided
  for (int round = 0; round < kDivisions && !progress.cancelled(); ++round) {
    if (!divide_edges(solid, snap, settings.tolerance_mm)) break;
  }
  progress.report(0.7);
  return mend_folds(solid, snap);
}

}  // namespace

double SplintField::body(const Vec3& p) const {
  double value = parts_.form->value(p);
  if (parts_.bored) value = std::max(value, -parts_.bored->value(p));
  for (const auto& [at, radius] : rooms_) value = std::max(value, radius - (p - at).norm());
  return value;
}

void SplintField::give_room(const std::vector<Vec3>& places, double radius_mm) {
  for (const Vec3& place : places) {
    bool given = false;
    for (const auto& [at, radius] : rooms_) given = given || (at - place).norm() < 0.8 * radius;
    if (!given) rooms_.emplace_back(place, radius_mm);
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
    const std::vector<Vec3> faults = follow_imprints(solid, parts, field, settings, progress);
    if (faults.empty() && check_mesh(solid.mesh).closed()) return solid;
    if (progress.cancelled()) break;
    field.give_room(faults, kFaultRoom + 0.2 * attempt);
  }
  return Error{"the splint could not be made sound: its triangles cross where a scan is at fault", "",
               "mend the scans where they fold over themselves, or choose another grid spacing"};
}

}  // namespace intercusp
