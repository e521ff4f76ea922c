#include "surgery/splint_solid.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <unordered_map>

#include "base/parallel.h"
#include "geometry/edge_key.h"
#include "geometry/largest_part.h"
#include "geometry/mesh_check.h"
#include "surgery/divide_triangle.h"
#include "surgery/imprint_snap.h"
#include "surgery/splint_clearance.h"
#include "surgery/splint_stand_off.h"
#include "surgery/splint_text.h"
#include "surgery/splint_unfold.h"

namespace intercusp {
namespace {

constexpr int kDivisions = 2;  ///< rounds of dividing edges, as the tolerance asks; finer triangles fold
constexpr int kMendings = 3;
constexpr int kTries = 6;                ///< with more and more room given to what cannot be mended
constexpr double kFaultRoom = 0.5;       ///< radius of that room, mm
constexpr double kSteepestMiddle = 0.6;  ///< an edge whose middle lies farther off than this share of it is left alone
constexpr double kWhole = 0.75;          ///< share of the material that must hang together
constexpr double kSampling = 1.0;        ///< of the material, mm

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
      edge.left = !edge.divide && off > ImprintSnap::kTooNear;
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
  if (!known) {
    join_marks(marked, unproved);  // what was unfolded in vain, and all around it
    std::fill(marked.begin(), marked.end(), 0);
    look();
  }
  if (!pushed && !crossed) return {};
  join_marks(fresh, marked);
  return places_of(mesh, marked);
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

/// Of the whole mesh, whatever was looked at on the way: what is printed must not cross itself.
std::vector<Vec3> crossing_places(const Mesh& mesh) {
  const std::vector<char> all(mesh.positions.size(), 1);
  std::vector<char> crossing(all.size(), 0);
  mark_crossings(mesh, all, crossing);
  return places_of(mesh, crossing);
}

/// Room for the teeth and not more of it: where that leaves some standing off, another way is tried, and the better one
/// kept.
void keep_close(SplintSolid& solid, const SplintParts& parts, const ImprintSnap& snap, double clearance) {
  SplintSolid closer = solid;
  keep_clearance(solid, parts, snap, clearance, kUsualCloseness);
  const StandOff usual = find_stand_off(solid, parts, clearance);
  if (usual.points == 0) return;
  keep_clearance(closer, parts, snap, clearance, kCloser);
  if (!crossing_places(closer.mesh).empty()) return;
  const StandOff other = find_stand_off(closer, parts, clearance);
  if (other.points < usual.points) solid = std::move(closer);
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
  const std::vector<Vec3> faults =
      mend_folds(solid, snap, settings.tolerance_mm > ImprintSnap::kTooNear ? Measured() : divided);
  if (!faults.empty() || progress.cancelled()) return faults;
  keep_close(solid, parts, snap, settings.clearance_mm);
  return crossing_places(solid.mesh);
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
