#include "geometry/contact_patches.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "geometry/lexicographic.h"
#include "geometry/union_find.h"

namespace intercusp {
namespace {

struct Patch {
  double gap = std::numeric_limits<double>::infinity();
  Vec3 at = Vec3::Zero();
  std::array<std::size_t, 2> vertices{0, 0};
  std::array<double, 2> area{0, 0};
};

/// Share of a triangle where the linear function with these corner values is at or below zero.
double share_below(std::array<double, 3> f) {
  std::sort(f.begin(), f.end());
  if (f[0] > 0) return 0;
  if (f[2] <= 0) return 1;
  if (f[1] > 0) return f[0] * f[0] / ((f[0] - f[1]) * (f[0] - f[2]));
  return 1 - f[2] * f[2] / ((f[2] - f[0]) * (f[2] - f[1]));
}

class Patches {
 public:
  Patches(const PosedPair& pair, const Crossings& crossings, const std::array<VertexGaps, 2>& gaps, double contact_mm)
      : pair_(pair), gaps_(gaps), contact_(contact_mm), sets_(0) {
    for (const auto& [first, second] : crossings.touching) pairs_.push_back({first, second});
    pairs_.insert(pairs_.end(), crossings.near.begin(), crossings.near.end());
    // Both lists are sorted.
    std::inplace_merge(pairs_.begin(), pairs_.begin() + static_cast<std::ptrdiff_t>(crossings.touching.size()),
                       pairs_.end(), earlier);
    find_begins();
    for (std::size_t body = 0; body < 2; ++body) number_vertices(body);
    sets_ = UnionFind(vertices_[0].size() + vertices_[1].size() + pairs_.size());
  }

  std::vector<ContactPatch> run(const Crossings& crossings, const Overlap& overlap) {
    for (std::size_t body = 0; body < 2; ++body) {
      join_along_edges(body);
      join_with_nearest(body);
    }
    join_pairs();
    number_patches();
    for (std::size_t body = 0; body < 2; ++body) {
      add_vertices(body);
      add_area(body);
    }
    add_pairs();
    add_regions(crossings, overlap);
    return collect();
  }

 private:
  static bool earlier(const NearPair& a, const NearPair& b) {
    return std::make_pair(a.first, a.second) < std::make_pair(b.first, b.second);
  }

  void number_vertices(std::size_t body) {
    const std::vector<double>& gap = gaps_[body].gap_mm;
    node_[body].assign(gap.size(), kNone);
    for (std::uint32_t v = 0; v < gap.size(); ++v) {
      if (!(gap[v] <= contact_)) continue;
      node_[body][v] = static_cast<std::uint32_t>(vertices_[0].size() + vertices_[1].size());
      vertices_[body].push_back(v);
    }
  }

  std::uint32_t node_of_pair(std::size_t pair) const {
    return static_cast<std::uint32_t>(vertices_[0].size() + vertices_[1].size() + pair);
  }

  /// Where the pairs of each triangle of the first body begin.
  void find_begins() {
    begin_.assign(pair_.surface[0]->mesh().triangles.size() + 1, 0);
    for (const NearPair& p : pairs_) ++begin_[p.first + 1];
    std::partial_sum(begin_.begin(), begin_.end(), begin_.begin());
  }

  std::size_t find_pair(std::uint32_t first, std::uint32_t second) const {
    for (std::uint32_t i = begin_[first]; i < begin_[first + 1]; ++i) {
      if (pairs_[i].second == second) return i;
    }
    return pairs_.size();
  }

  template <class Use>
  void for_triangles_around(std::size_t body, std::uint32_t v, Use use) const {
    const Topology& topology = pair_.surface[body]->topology();
    for (std::uint32_t i = topology.around_begin[v]; i < topology.around_begin[v + 1]; ++i) use(topology.around[i]);
  }

  void join_along_edges(std::size_t body) {
    for (const std::uint32_t v : vertices_[body]) {
      for_triangles_around(body, v, [&](std::uint32_t t) {
        for (const std::uint32_t w : pair_.surface[body]->mesh().triangles[t]) {
          if (node_[body][w] != kNone) sets_.join(node_[body][v], node_[body][w]);
        }
      });
    }
  }

  void join_with_nearest(std::size_t body) {
    for (const std::uint32_t v : vertices_[body]) {
      const std::uint32_t nearest = gaps_[body].nearest[v];
      for_triangles_around(body, v, [&](std::uint32_t t) {
        if (nearest == kNoTriangle) return;
        const std::size_t pair = body == 0 ? find_pair(t, nearest) : find_pair(nearest, t);
        if (pair < pairs_.size()) sets_.join(node_[body][v], node_of_pair(pair));
      });
    }
  }

  /// Two pairs belong together when they share one triangle and their others share a corner.
  void join_pairs() {
    std::vector<std::uint32_t> by_second(pairs_.size());
    std::iota(by_second.begin(), by_second.end(), 0u);
    join_groups(by_second, 1);
    std::sort(by_second.begin(), by_second.end(), [this](std::uint32_t a, std::uint32_t b) {
      return std::make_pair(pairs_[a].second, a) < std::make_pair(pairs_[b].second, b);
    });
    join_groups(by_second, 0);
  }

  /// Joins pairs that follow each other with the same triangle, where those of `body` share a corner.
  void join_groups(const std::vector<std::uint32_t>& sorted, std::size_t body) {
    const auto shared = [&](std::size_t i) { return body == 1 ? pairs_[sorted[i]].first : pairs_[sorted[i]].second; };
    const std::vector<Triangle>& triangles = pair_.surface[body]->mesh().triangles;
    std::vector<std::pair<std::uint32_t, std::uint32_t>> corners;  // and the pair that has it
    for (std::size_t begin = 0, end = 0; begin < sorted.size(); begin = end) {
      corners.clear();
      for (; end < sorted.size() && shared(end) == shared(begin); ++end) {
        const NearPair& p = pairs_[sorted[end]];
        for (const std::uint32_t v : triangles[body == 1 ? p.second : p.first]) corners.push_back({v, sorted[end]});
      }
      std::sort(corners.begin(), corners.end());
      for (std::size_t i = 1; i < corners.size(); ++i) {
        if (corners[i].first != corners[i - 1].first) continue;
        sets_.join(node_of_pair(corners[i - 1].second), node_of_pair(corners[i].second));
      }
    }
  }

  /// Patches in the order of the first node of each.
  void number_patches() {
    const auto nodes = static_cast<std::uint32_t>(vertices_[0].size() + vertices_[1].size() + pairs_.size());
    patch_of_.assign(nodes, kNone);
    for (std::uint32_t node = 0; node < nodes; ++node) {
      const std::uint32_t root = sets_.find(node);
      if (patch_of_[root] == kNone) {
        patch_of_[root] = static_cast<std::uint32_t>(patches_.size());
        patches_.emplace_back();
      }
      patch_of_[node] = patch_of_[root];
    }
  }

  Patch& patch(std::uint32_t node) { return patches_[patch_of_[node]]; }

  static void offer(Patch& patch, double gap, const Vec3& at) {
    if (gap < patch.gap || (gap == patch.gap && lexicographically_before(at, patch.at))) {
      patch.gap = gap;
      patch.at = at;
    }
  }

  void add_vertices(std::size_t body) {
    for (const std::uint32_t v : vertices_[body]) {
      Patch& p = patch(node_[body][v]);
      ++p.vertices[body];
      const double gap = gaps_[body].gap_mm[v];
      if (gap > p.gap) continue;
      const Vec3 point = pair_.point(body, v);
      offer(p, gap, body == 0 ? point : nearest_on_other(pair_, 1, gaps_[1].nearest[v], point));
    }
  }

  void add_area(std::size_t body) {
    for (const std::uint32_t v : vertices_[body]) {
      for_triangles_around(body, v, [&](std::uint32_t t) {
        const Triangle& triangle = pair_.surface[body]->mesh().triangles[t];
        for (const std::uint32_t w : triangle) {
          if (node_[body][w] != kNone && node_[body][w] < node_[body][v]) return;  // counted at its first vertex
        }
        patch(node_[body][v]).area[body] += area_in_contact(body, t);
      });
    }
  }

  double area_in_contact(std::size_t body, std::uint32_t t) const {
    const Corners c = pair_.corners(body, t);
    std::array<double, 3> over{};
    for (std::size_t k = 0; k < 3; ++k) {
      const double gap = gaps_[body].gap_mm[pair_.surface[body]->mesh().triangles[t][k]];
      if (std::isnan(gap)) return 0;
      over[k] = gap - contact_;
    }
    return share_below(over) * 0.5 * (c[1] - c[0]).cross(c[2] - c[0]).norm();
  }

  void add_pairs() {
    for (std::size_t i = 0; i < pairs_.size(); ++i) {
      Patch& p = patch(node_of_pair(i));
      if (p.gap < 0) continue;  // no pair of triangles says more
      const TriangleGap gap = triangle_distance(pair_.corners(0, pairs_[i].first), pair_.corners(1, pairs_[i].second));
      if (gap.distance_mm <= p.gap) offer(p, gap.distance_mm, gap.on_first);
    }
  }

  /// Where bodies overlap without a vertex inside, the depth of the region is the (negative) gap.
  void add_regions(const Crossings& crossings, const Overlap& overlap) {
    for (std::size_t i = 0; i < crossings.pairs.size(); ++i) {
      if (overlap.pair_region[i] == kNone) continue;
      const OverlapRegion& region = overlap.regions[overlap.pair_region[i]];
      const std::size_t pair = find_pair(crossings.pairs[i].first, crossings.pairs[i].second);
      if (pair == pairs_.size()) continue;
      Patch& p = patch(node_of_pair(pair));
      if (!(-region.deepest_mm < p.gap - kLeastDepth)) continue;
      ClosestPoint closest;
      const Surface& first = *pair_.surface[0];
      const Vec3 query = pair_.pose[0].inverse() * region.at;
      if (!first.bvh().closest(first.mesh(), query, std::numeric_limits<double>::infinity(), closest)) continue;
      p.gap = -region.deepest_mm;
      p.at = pair_.pose[0] * closest.point;
    }
  }

  std::vector<ContactPatch> collect() const {
    std::vector<ContactPatch> out;
    for (const Patch& p : patches_) {
      const std::size_t measured = p.vertices[1] > p.vertices[0] ? 1 : 0;
      out.push_back({p.at, p.gap, p.area[measured]});
    }
    std::stable_sort(out.begin(), out.end(), [](const ContactPatch& a, const ContactPatch& b) {
      return a.gap_mm != b.gap_mm ? a.gap_mm < b.gap_mm : lexicographically_before(a.at, b.at);
    });
    return out;
  }

  const PosedPair& pair_;
  const std::array<VertexGaps, 2>& gaps_;
  const double contact_;
  std::vector<NearPair> pairs_;
  std::array<std::vector<std::uint32_t>, 2> vertices_;  ///< in contact
  std::array<std::vector<std::uint32_t>, 2> node_;      ///< per vertex
  UnionFind sets_;
  std::vector<std::uint32_t> begin_;     ///< per triangle of the first body: its first pair; one more entry at the end
  std::vector<std::uint32_t> patch_of_;  ///< per node
  std::vector<Patch> patches_;
};

bool any_vertex_within(const VertexGaps& gaps, double contact_mm) {
  return std::any_of(gaps.gap_mm.begin(), gaps.gap_mm.end(), [&](double gap) { return gap <= contact_mm; });
}

}  // namespace

std::vector<ContactPatch> find_contact_patches(const PosedPair& pair, const Crossings& crossings,
                                               const std::array<VertexGaps, 2>& gaps, const Overlap& overlap,
                                               double contact_mm) {
  // Most bodies are nowhere near each other: then the tables are not worth making.
  if (crossings.touching.empty() && crossings.near.empty() && !any_vertex_within(gaps[0], contact_mm) &&
      !any_vertex_within(gaps[1], contact_mm)) {
    return {};
  }
  return Patches(pair, crossings, gaps, contact_mm).run(crossings, overlap);
}

}  // namespace intercusp
