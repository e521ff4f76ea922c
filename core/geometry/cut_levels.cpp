#include "geometry/cut_levels.h"

#include <algorithm>
#include <cmath>
#include <unordered_map>

#include "geometry/edge_key.h"
#include "geometry/union_find.h"

namespace intercusp {
namespace {

constexpr double kOnFold = 1e-4;     ///< a vertex within this of the place where two planes agree counts as on it, mm
constexpr double kSamePlace = 2e-5;  ///< some units in the last place of a coordinate of 100 mm
constexpr std::uint32_t kUncut = 0xFFFFFFFFu;

/// Adds the point at `t` from the lower-numbered vertex to the higher one.
std::uint32_t add_between(Mesh& mesh, std::uint32_t low, std::uint32_t high, double t) {
  const Vec3 a = mesh.positions[low].cast<double>(), b = mesh.positions[high].cast<double>();
  mesh.positions.emplace_back((a + t * (b - a)).cast<float>());
  if (!mesh.colours.empty()) mesh.colours.push_back(mesh.colours[t < 0.5 ? low : high]);
  return static_cast<std::uint32_t>(mesh.positions.size() - 1);
}

/// Parts triangles near the surface where the planes i and j agree.
class FoldParter {
 public:
  FoldParter(LevelMesh& levels, const CutSurface& surface, double reach)
      : levels_(levels), surface_(surface), reach_(reach) {
    for (std::uint32_t t = 0; t < levels.mesh.triangles.size(); ++t) {
      if (is_near(t)) near_.push_back(t);
    }
  }

  void part(std::size_t i, std::size_t j) {
    const auto &a = surface_.facets()[i], &b = surface_.facets()[j];
    if (a.normal.cross(b.normal).norm() < 1e-9) return;  // parallel: their facets never meet
    difference_ = a.normal - b.normal;
    steep_ = difference_.norm();
    directions_ = {Vec3::Zero(), a.normal.cross(b.normal).normalized(), (a.normal + b.normal).normalized()};
    facets_ = {static_cast<int>(i), static_cast<int>(j)};
    offset_ = a.offset - b.offset;
    points_.clear();
    const std::size_t before = near_.size();
    for (std::size_t k = 0; k < before; ++k) part_triangle(near_[k]);
  }

 private:
  /// Wide enough that both triangles at an edge which must be parted are looked at.
  bool is_near(std::uint32_t t) const {
    double longest = 0, least = 1e300;
    for (int k = 0; k < 3; ++k) {
      longest = std::max(longest, (levels_.mesh.corner(t, k) - levels_.mesh.corner(t, (k + 1) % 3)).norm());
      const std::uint32_t v = levels_.mesh.triangles[t][static_cast<std::size_t>(k)];
      least = std::min(least, std::abs(levels_.value[v]));
    }
    return least <= reach_ + 3 * longest;
  }

  double apart(std::uint32_t v) const {
    const double d = difference_.dot(levels_.mesh.positions[v].cast<double>()) - offset_;
    return std::abs(d) < kOnFold * steep_ ? 0 : d;
  }

  /// The new vertex on an edge across the fold near the surface; kUncut where the edge stays whole.
  std::uint32_t point_on(std::uint32_t a, std::uint32_t b) {
    const std::uint32_t low = std::min(a, b), high = std::max(a, b);
    const double from = apart(low), to = apart(high);
    if (!(from * to < 0)) return kUncut;
    const auto found = points_.find(edge_key(low, high));
    if (found != points_.end()) return found->second;
    const Vec3 p = levels_.mesh.positions[low].cast<double>(), q = levels_.mesh.positions[high].cast<double>();
    const double t = from / (from - to), length = (q - p).norm();
    const Vec3 x = p + t * (q - p);
    std::uint32_t point = kUncut;
    if (std::abs(surface_.value(x)) <= reach_ + length && folds_near(x, length)) {
      point = add_between(levels_.mesh, low, high, t);
      levels_.value.push_back(surface_.value(levels_.mesh.positions[point].cast<double>()));
    }
    points_.emplace(edge_key(low, high), point);
    return point;
  }

  /// Whether the surface really goes over from one plane to the other here or within a triangle's width: where two
  /// planes agree, a third may have the say.
  bool folds_near(const Vec3& x, double width) const {
    const Vec3 beside = kOnFold * (difference_ / steep_);
    for (const Vec3& direction : directions_) {
      for (const double way : {width, -width}) {
        const Vec3 p = x + way * direction;
        const int here = surface_.plane_at(p + beside), there = surface_.plane_at(p - beside);
        if (here != there && (here == facets_[0] || here == facets_[1]) &&
            (there == facets_[0] || there == facets_[1])) {
          return true;
        }
      }
    }
    return false;
  }

  void replace(std::uint32_t t, std::initializer_list<Triangle> parts) {
    auto part = parts.begin();
    levels_.mesh.triangles[t] = *part;
    while (++part != parts.end()) {
      near_.push_back(static_cast<std::uint32_t>(levels_.mesh.triangles.size()));
      levels_.mesh.triangles.push_back(*part);
    }
  }

  void part_triangle(std::uint32_t t) {
    const Triangle old = levels_.mesh.triangles[t];
    std::array<std::uint32_t, 3> on{};
    std::size_t parted = 0, whole = 0, last = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      on[k] = point_on(old[k], old[(k + 1) % 3]);
      if (on[k] == kUncut) {
        whole = k;
      } else {
        ++parted;
        last = k;
      }
    }
    if (parted == 1) {
      const std::uint32_t a = old[last], b = old[(last + 1) % 3], c = old[(last + 2) % 3], m = on[last];
      replace(t, {{a, m, c}, {m, b, c}});
    } else if (parted == 2) {
      // The corner opposite the whole edge a-b is cut off.
      const std::uint32_t a = old[whole], b = old[(whole + 1) % 3], c = old[(whole + 2) % 3];
      const std::uint32_t bc = on[(whole + 1) % 3], ca = on[(whole + 2) % 3];
      replace(t, {{ca, bc, c}, {a, b, bc}, {a, bc, ca}});
    }
  }

  LevelMesh& levels_;
  const CutSurface& surface_;
  const double reach_;
  std::vector<std::uint32_t> near_;
  std::unordered_map<std::uint64_t, std::uint32_t> points_;
  Vec3 difference_ = Vec3::Zero();
  double offset_ = 0, steep_ = 0;
  std::array<Vec3, 3> directions_;
  std::array<int, 2> facets_{};
};

/// Keeps what lies above a level.
class Clipper {
 public:
  Clipper(const LevelMesh& levels, const CutSurface& surface, double level)
      : levels_(levels), surface_(surface), level_(level) {}

  Clipped run() {
    keep_vertices();
    for (const Triangle& t : levels_.mesh.triangles) clip(t);
    join_near_points();
    out_.first_new = first_new_;
    return std::move(out_);
  }

 private:
  bool above(std::uint32_t v) const { return levels_.value[v] > level_; }

  void keep_vertices() {
    const Mesh& mesh = levels_.mesh;
    kept_.assign(mesh.positions.size(), kUncut);
    for (std::uint32_t v = 0; v < mesh.positions.size(); ++v) {
      if (!above(v)) continue;
      kept_[v] = static_cast<std::uint32_t>(out_.mesh.positions.size());
      out_.mesh.positions.push_back(mesh.positions[v]);
      if (!mesh.colours.empty()) out_.mesh.colours.push_back(mesh.colours[v]);
    }
    first_new_ = static_cast<std::uint32_t>(out_.mesh.positions.size());
  }

  std::uint32_t point_on(std::uint32_t a, std::uint32_t b) {
    const std::uint32_t low = std::min(a, b), high = std::max(a, b);
    const auto known = points_.find(edge_key(low, high));
    if (known != points_.end()) return known->second;
    const double from = levels_.value[low] - level_, to = levels_.value[high] - level_, t = from / (from - to);
    const Vec3 p = levels_.mesh.positions[low].cast<double>(), q = levels_.mesh.positions[high].cast<double>();
    out_.mesh.positions.emplace_back((p + t * (q - p)).cast<float>());
    if (!levels_.mesh.colours.empty()) out_.mesh.colours.push_back(levels_.mesh.colours[t < 0.5 ? low : high]);
    const auto point = static_cast<std::uint32_t>(out_.mesh.positions.size() - 1);
    points_.emplace(edge_key(low, high), point);
    return point;
  }

  Vec3 place(std::uint32_t v) const { return out_.mesh.positions[v].cast<double>(); }

  void clip(const Triangle& t) {
    const std::array<bool, 3> in{above(t[0]), above(t[1]), above(t[2])};
    const int count = in[0] + in[1] + in[2];
    if (count == 0) return;
    if (count == 3) {
      out_.mesh.triangles.push_back({kept_[t[0]], kept_[t[1]], kept_[t[2]]});
      return;
    }
    std::size_t k = 0;  // the corner that is alone on its side
    while (in[k] != (count == 1)) ++k;
    const std::uint32_t a = t[k], b = t[(k + 1) % 3], c = t[(k + 2) % 3];
    const std::uint32_t ab = point_on(a, b), ca = point_on(c, a);
    const int facet = surface_.plane_at(0.5 * (place(ab) + place(ca)));
    if (count == 1) {
      out_.mesh.triangles.push_back({kept_[a], ab, ca});
      out_.section.push_back({ca, ab, facet});
      return;
    }
    const std::uint32_t kb = kept_[b], kc = kept_[c];
    if ((place(ab) - place(kc)).squaredNorm() <= (place(ca) - place(kb)).squaredNorm()) {
      out_.mesh.triangles.push_back({ab, kb, kc});
      out_.mesh.triangles.push_back({ab, kc, ca});
    } else {
      out_.mesh.triangles.push_back({ab, kb, ca});
      out_.mesh.triangles.push_back({kb, kc, ca});
    }
    out_.section.push_back({ab, ca, facet});
  }

  void join_near_points() {
    UnionFind same(out_.mesh.positions.size() - first_new_);
    bool any = false;
    for (const SectionEdge& e : out_.section) {
      if ((place(e.from) - place(e.to)).norm() > kSamePlace) continue;
      same.join(e.from - first_new_, e.to - first_new_);
      any = true;
    }
    if (!any) return;
    const auto one = [&](std::uint32_t v) { return v < first_new_ ? v : first_new_ + same.find(v - first_new_); };
    auto& triangles = out_.mesh.triangles;
    for (Triangle& t : triangles) t = {one(t[0]), one(t[1]), one(t[2])};
    const auto collapsed = [](const Triangle& t) { return t[0] == t[1] || t[1] == t[2] || t[2] == t[0]; };
    triangles.erase(std::remove_if(triangles.begin(), triangles.end(), collapsed), triangles.end());
    for (SectionEdge& e : out_.section) e = {one(e.from), one(e.to), e.facet};
    const auto gone = [](const SectionEdge& e) { return e.from == e.to; };
    out_.section.erase(std::remove_if(out_.section.begin(), out_.section.end(), gone), out_.section.end());
  }

  const LevelMesh& levels_;
  const CutSurface& surface_;
  const double level_;
  Clipped out_;
  std::vector<std::uint32_t> kept_;
  std::uint32_t first_new_ = 0;
  std::unordered_map<std::uint64_t, std::uint32_t> points_;
};

}  // namespace

LevelMesh make_levels(const Mesh& mesh, const CutSurface& surface, double reach) {
  LevelMesh levels{mesh, {}};
  levels.value.reserve(mesh.positions.size());
  for (const Vec3f& p : mesh.positions) levels.value.push_back(surface.value(p.cast<double>()));
  if (surface.facets().size() < 2) return levels;
  FoldParter parter(levels, surface, reach);
  for (std::size_t i = 0; i < surface.facets().size(); ++i) {
    for (std::size_t j = i + 1; j < surface.facets().size(); ++j) parter.part(i, j);
  }
  return levels;
}

Clipped clip_above(const LevelMesh& levels, const CutSurface& surface, double level) {
  return Clipper(levels, surface, level).run();
}

}  // namespace intercusp
