#include "geometry/contact_patches.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

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
    for (const auto& [first, second] : crossings.touching) pairs_.push_back({first, second, {}});
    pairs_.insert(pairs_.end(), crossings.near.begin(), crossings.near.end());
    std::stable_sort(pairs_.begin(), pairs_.end(), earlier);
    for (std::size_t body = 0; body < 2; ++body) number_vertices(body);
    sets_ = UnionFind(vertices_[0].size() + vertices_[1].size() + pairs_.size());
  }

  std::vector<ContactPatch> run(const Crossings& crossings, const Overlap& overlap) {
    for (std::size_t body = 0; body < 2; ++body) {
      join_along_edges(body);
      join_with_nearest(body);
    }
    join_pairs();
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

  std::size_t find_pair(std::uint32_t first, std::uint32_t second) const {
    const auto found = std::lower_bound(pairs_.begin(), pairs_.end(), NearPair{first, second, {}}, earlier);
    const bool here = found != pairs_.end() && found->first == first && found->second == second;
    return here ? static_cast<std::size_t>(found - pairs_.begin()) : pairs_.size();
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
        const std::size_t pair = body == 0 ? find_pair(t, nearest) : find_pair(nearest, t);
        if (pair < pairs_.size()) sets_.join(node_[body][v], node_of_pair(pair));
      });
    }
  }

  /// Two pairs belong together when they share one triangle and their others share a corner.
  void join_pairs() {
    std::vector<std::array<std::uint32_t, 4>> keys;  // whose corner, the shared triangle, the corner, the pair
    for (std::uint32_t i = 0; i < pairs_.size(); ++i) {
      for (const std::uint32_t v : pair_.surface[1]->mesh().triangles[pairs_[i].second]) {
        keys.push_back({1, pairs_[i].first, v, i});
      }
      for (const std::uint32_t v : pair_.surface[0]->mesh().triangles[pairs_[i].first]) {
        keys.push_back({0, pairs_[i].second, v, i});
      }
    }
    std::sort(keys.begin(), keys.end());
    for (std::size_t i = 1; i < keys.size(); ++i) {
      if (std::equal(keys[i].begin(), keys[i].begin() + 3, keys[i - 1].begin())) {
        sets_.join(node_of_pair(keys[i - 1][3]), node_of_pair(keys[i][3]));
      }
    }
  }

  Patch& patch(std::uint32_t node) { return patches_[sets_.find(node)]; }

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
      NearPair& near = pairs_[i];
      if (near.gap.distance_mm == 0 && p.gap > 0) {  // touching: the shared point was not needed until now
        near.gap = triangle_distance(pair_.corners(0, near.first), pair_.corners(1, near.second));
      }
      if (near.gap.distance_mm <= p.gap) offer(p, near.gap.distance_mm, near.gap.on_first);
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
    for (const auto& [node, p] : patches_) {
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
  std::map<std::uint32_t, Patch> patches_;
};

}  // namespace

std::vector<ContactPatch> find_contact_patches(const PosedPair& pair, const Crossings& crossings,
                                               const std::array<VertexGaps, 2>& gaps, const Overlap& overlap,
                                               double contact_mm) {
  return Patches(pair, crossings, gaps, contact_mm).run(crossings, overlap);
}

}  // namespace intercusp
