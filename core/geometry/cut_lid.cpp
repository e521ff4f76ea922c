#include "geometry/cut_lid.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <set>

#include "geometry/polygon_fill.h"

namespace intercusp {
namespace {

constexpr double kBeside = 1e-3;   ///< how far from a fold a facet is looked for, mm
constexpr double kAgrees = 1e-6;   ///< values within this count as equal, mm
constexpr double kEndless = 1e30;  ///< a fold without end

/// Solid angle of the mesh seen from a point, as a share of the full sphere: 1 inside, 0 outside. O(n).
double winding_number(const Mesh& mesh, const Vec3& from) {
  double sum = 0;
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    const Vec3 a = mesh.corner(t, 0) - from, b = mesh.corner(t, 1) - from, c = mesh.corner(t, 2) - from;
    const double la = a.norm(), lb = b.norm(), lc = c.norm();
    sum += std::atan2(a.dot(b.cross(c)), la * lb * lc + a.dot(b) * lc + b.dot(c) * la + c.dot(a) * lb);
  }
  return sum / (2 * kPi);
}

/// A fold of the cut surface: where the facets of two planes meet.
struct Fold {
  int first, second;
  Vec3 through, along;
  Vec3 into_first, into_second;  ///< unit, within the facet, away from the fold
};

/// A stretch of a fold between corners of the surface.
struct Stretch {
  double from, to;
  bool along_first, along_second;  ///< on which side of the fold's line the facets lie
};

class LidBuilder {
 public:
  LidBuilder(Clipped& clipped, const CutSurface& surface, double level, const Mesh& whole)
      : mesh_(clipped.mesh), section_(clipped.section), surface_(surface), level_(level), whole_(whole) {}

  bool run() {
    for (const SectionEdge& e : section_) outlines_[e.facet].push_back({e.from, e.to});
    if (!find_fold_points()) return false;
    const int count = static_cast<int>(surface_.facets().size());
    for (int i = 0; i < count; ++i) {
      for (int j = i + 1; j < count; ++j) {
        if (!close_fold(i, j)) return false;
      }
    }
    if (points_left_ != 0) return false;
    for (const auto& [facet, edges] : outlines_) {
      if (!fill(facet, edges)) return false;
    }
    return true;
  }

 private:
  const CutSurface::Facet& facet(int k) const { return surface_.facets()[static_cast<std::size_t>(k)]; }
  bool on_surface(const Vec3& p) const { return std::abs(surface_.value(p) - level_) < kAgrees; }

  /// Section points where the outline goes over from one facet to another, per pair of facets.
  bool find_fold_points() {
    std::map<std::uint32_t, std::array<int, 2>> facets;  // of the edge in and of the edge out
    for (const SectionEdge& e : section_) {
      int& in = facets.try_emplace(e.to, std::array<int, 2>{-1, -1}).first->second[0];
      int& out = facets.try_emplace(e.from, std::array<int, 2>{-1, -1}).first->second[1];
      if (in != -1 || out != -1) return false;
      in = e.facet;
      out = e.facet;
    }
    for (const auto& [v, in_out] : facets) {
      const auto [in, out] = in_out;
      if (in == -1 || out == -1) return false;
      if (in == out) continue;
      fold_points_[{std::min(in, out), std::max(in, out)}].push_back(v);
      ++points_left_;
    }
    return true;
  }

  /// The line of two planes at this level; empty where they are parallel.
  std::optional<Fold> fold_of(int i, int j) const {
    const Vec3 a = facet(i).normal, b = facet(j).normal, u = a.cross(b);
    if (u.norm() < 1e-9) return std::nullopt;
    Mat3 rows;
    rows << a.transpose(), b.transpose(), u.transpose();
    const Vec3 middle = rows.inverse() * Vec3(facet(i).offset + level_, facet(j).offset + level_, 0);
    const Vec3 along = u.normalized();
    return Fold{i, j, middle, along, along.cross(a).normalized(), along.cross(b).normalized()};
  }

  /// Whether the two facets meet at this place of the line, and on which sides they lie.
  std::optional<Stretch> meets_at(const Fold& fold, double s) const {
    const Vec3 p = fold.through + s * fold.along;
    if (!on_surface(p)) return std::nullopt;
    const bool first_ahead = on_surface(p + kBeside * fold.into_first);
    const bool first_behind = on_surface(p - kBeside * fold.into_first);
    const bool second_ahead = on_surface(p + kBeside * fold.into_second);
    const bool second_behind = on_surface(p - kBeside * fold.into_second);
    if (first_ahead == first_behind || second_ahead == second_behind) return std::nullopt;
    return Stretch{s, s, first_ahead, second_ahead};
  }

  std::vector<Stretch> stretches_of(const Fold& fold) const {
    std::vector<double> ends{-kEndless, kEndless};
    for (const CutSurface::Facet& other : surface_.facets()) {
      const double slope = other.normal.dot(fold.along);
      if (std::abs(slope) > 1e-9) ends.push_back((level_ - other.value(fold.through)) / slope);
    }
    std::sort(ends.begin(), ends.end());
    std::vector<Stretch> stretches;
    for (std::size_t k = 0; k + 1 < ends.size(); ++k) {
      if (ends[k + 1] - ends[k] < kAgrees) continue;
      const double low = std::max(ends[k], -1e4), high = std::min(ends[k + 1], 1e4);
      const auto here = meets_at(fold, low < high ? 0.5 * (low + high) : low);
      if (!here) continue;
      if (!stretches.empty() && stretches.back().to == ends[k]) {
        stretches.back().to = ends[k + 1];
      } else {
        stretches.push_back({ends[k], ends[k + 1], here->along_first, here->along_second});
      }
    }
    return stretches;
  }

  struct Corner {
    bool inside = false;
    std::uint32_t vertex = 0;
  };

  /// Where a fold ends at a third facet: a vertex of the lids if it lies within the body.
  std::optional<Corner> corner_at(const Fold& fold, double s) {
    const Vec3 p = fold.through + s * fold.along;
    std::set<int> planes;
    for (int k = 0; k < static_cast<int>(surface_.facets().size()); ++k) {
      if (std::abs(facet(k).value(p) - level_) < kAgrees) planes.insert(k);
    }
    const auto known = corners_.find(planes);
    if (known != corners_.end()) return known->second;
    Corner corner;
    corner.inside = winding_number(whole_, p) > 0.5;
    if (corner.inside) {
      corner.vertex = static_cast<std::uint32_t>(mesh_.positions.size());
      mesh_.positions.push_back(p.cast<float>());
      if (!mesh_.colours.empty()) mesh_.colours.push_back(mesh_.colours[section_.front().from]);
    }
    corners_.emplace(planes, corner);
    return corner;
  }

  void add_fold_edge(const Fold& fold, const Stretch& stretch, std::uint32_t low, std::uint32_t high) {
    if (low == high) return;
    // Seen from outside (against the normal of the plane) the facet lies to the left of its outline.
    const auto add = [&](int k, const Vec3& into, bool ahead) {
      const Vec3 inward = ahead ? into : Vec3(-into);
      const bool forward = inward.cross(-facet(k).normal).dot(fold.along) > 0;
      outlines_[k].push_back(forward ? PolygonEdge{low, high} : PolygonEdge{high, low});
    };
    add(fold.first, fold.into_first, stretch.along_first);
    add(fold.second, fold.into_second, stretch.along_second);
  }

  bool close_fold(int i, int j) {
    const auto fold = fold_of(i, j);
    if (!fold) return true;
    std::vector<std::pair<double, std::uint32_t>> points;
    for (const std::uint32_t v : fold_points_[{i, j}]) {
      points.push_back({fold->along.dot(mesh_.positions[v].cast<double>() - fold->through), v});
    }
    std::sort(points.begin(), points.end());
    for (const Stretch& stretch : stretches_of(*fold)) {
      if (!close_stretch(*fold, stretch, points)) return false;
    }
    return true;
  }

  /// In and out of the body take turns along the fold.
  bool close_stretch(const Fold& fold, const Stretch& stretch,
                     const std::vector<std::pair<double, std::uint32_t>>& points) {
    Corner begin, end;
    if (stretch.from > -kEndless) begin = *corner_at(fold, stretch.from);
    if (stretch.to < kEndless) end = *corner_at(fold, stretch.to);
    bool inside = begin.inside;
    std::uint32_t last = begin.vertex;
    for (const auto& [s, v] : points) {
      if (s <= stretch.from || s > stretch.to) continue;
      if (inside) add_fold_edge(fold, stretch, last, v);
      inside = !inside;
      last = v;
      --points_left_;
    }
    if (inside != end.inside) return false;
    if (inside) add_fold_edge(fold, stretch, last, end.vertex);
    return true;
  }

  /// Triangulates one lid in the plane of two coordinates, where its vertices keep their exact values.
  bool fill(int k, const std::vector<PolygonEdge>& edges) {
    const Vec3 outward = -facet(k).normal;
    int axis = 0;
    outward.cwiseAbs().maxCoeff(&axis);
    int across = (axis + 1) % 3, up = (axis + 2) % 3;
    if (outward[axis] < 0) std::swap(across, up);
    std::map<std::uint32_t, std::uint32_t> number;
    std::vector<std::uint32_t> vertices;
    std::vector<Eigen::Vector2d> points;
    const auto local = [&](std::uint32_t v) {
      const auto [it, added] = number.try_emplace(v, static_cast<std::uint32_t>(vertices.size()));
      if (added) {
        vertices.push_back(v);
        const Vec3f& p = mesh_.positions[v];
        points.emplace_back(static_cast<double>(p[across]), static_cast<double>(p[up]));
      }
      return it->second;
    };
    std::vector<PolygonEdge> outline;
    for (const auto& [from, to] : edges) {
      const std::uint32_t a = local(from), b = local(to);
      outline.push_back({a, b});
    }
    auto triangles = fill_polygon(points, outline);
    if (!triangles) return false;
    flip_to_round(points, *triangles);
    for (const Triangle& t : *triangles) mesh_.triangles.push_back({vertices[t[0]], vertices[t[1]], vertices[t[2]]});
    return true;
  }

  Mesh& mesh_;
  const std::vector<SectionEdge>& section_;
  const CutSurface& surface_;
  const double level_;
  const Mesh& whole_;
  std::map<int, std::vector<PolygonEdge>> outlines_;
  std::map<std::pair<int, int>, std::vector<std::uint32_t>> fold_points_;
  std::map<std::set<int>, Corner> corners_;
  std::size_t points_left_ = 0;
};

}  // namespace

bool add_lids(Clipped& clipped, const CutSurface& surface, double level, const Mesh& whole) {
  return LidBuilder(clipped, surface, level, whole).run();
}

}  // namespace intercusp
