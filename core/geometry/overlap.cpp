#include "geometry/overlap.h"

#include <algorithm>
#include <cmath>

#include "geometry/depth_search.h"
#include "geometry/union_find.h"

namespace intercusp {
namespace {

/// What is summed up for one region.
struct Sum {
  double area_first = 0, volume = 0;
  std::array<bool, 2> open{false, false};  ///< an open border of that body keeps the region from being closed
  bool irregular = false;                  ///< a body passes through itself here
  Deepest deepest;
};

class Overlaps {
 public:
  Overlaps(const PosedPair& pair, const Crossings& crossings, const InsideParts& inside,
           const std::array<VertexGaps, 2>& gaps)
      : pair_(pair),
        crossings_(crossings),
        inside_(inside),
        gaps_(gaps),
        depth_(pair),
        sets_(crossings.piercings.size() + inside.parts.size()),
        sums_(crossings.piercings.size() + inside.parts.size()) {
    if (!crossings.piercings.empty()) origin_ = crossings.piercings.front().point;
    if (crossings.piercings.empty() && !inside.parts.empty()) {
      const InsidePart& part = inside.parts.front();
      origin_ = pair.points[part.body][part.vertices.front()];
    }
  }

  Overlap run() {
    join();
    note_what_is_open();
    add_whole_triangles();
    add_crossed_triangles();
    seek_depths();
    return collect();
  }

 private:
  std::uint32_t node_of_part(std::uint32_t part) const {
    return static_cast<std::uint32_t>(crossings_.piercings.size()) + part;
  }
  Sum& sum(std::uint32_t node) { return sums_[sets_.find(node)]; }

  /// The node that a stretch of an edge belongs to; kNone if it reaches a vertex that belongs to no part.
  std::uint32_t node_of(const CrossedEdge& edge, const InnerSpan& span) const {
    if (span.from != kNone) return span.from;
    if (span.to != kNone) return span.to;
    const std::uint32_t part = inside_.part_of[edge.body][edge.low];
    return part == kNone ? kNone : node_of_part(part);
  }

  void join() {
    for (const CrossingPair& p : crossings_.pairs) {
      if (p.start != kNone && p.end != kNone) sets_.join(p.start, p.end);
    }
    for (const auto& [a, b] : inside_.coincident) sets_.join(a, b);
    for (const CrossedEdge& edge : inside_.edges) {
      for (const InnerSpan& span : edge.spans) {
        if (span.from != kNone && span.to != kNone) sets_.join(span.from, span.to);
        const std::uint32_t vertex = span.from == kNone ? edge.low : edge.high;
        const std::uint32_t part = inside_.part_of[edge.body][vertex];
        if ((span.from == kNone || span.to == kNone) && part != kNone) {
          sets_.join(node_of(edge, span), node_of_part(part));
        }
      }
    }
  }

  void note_what_is_open() {
    for (std::uint32_t i = 0; i < crossings_.piercings.size(); ++i) {
      const Piercing& p = crossings_.piercings[i];
      if (p.border) sum(i).open[p.body] = true;
    }
    for (const CrossingPair& p : crossings_.pairs) {
      if ((p.start == kNone) != (p.end == kNone)) sum(p.start == kNone ? p.end : p.start).irregular = true;
    }
    for (const CrossedEdge& edge : inside_.edges) {
      const bool ends_lost = (edge.starts_inside && inside_.part_of[edge.body][edge.low] == kNone) ||
                             (edge.ends_inside && inside_.part_of[edge.body][edge.high] == kNone);
      if (!edge.regular || ends_lost) note_irregular(sum(edge.along.front()), 1u - edge.body);
    }
    for (std::uint32_t i = 0; i < inside_.parts.size(); ++i) {
      const InsidePart& part = inside_.parts[i];
      Sum& s = sum(node_of_part(i));
      if (part.reaches_border) s.open[part.body] = true;
      if (part.guessed) note_irregular(s, 1u - part.body);
    }
  }

  void note_irregular(Sum& s, std::size_t body) const {
    if (pair_.surface[body]->closed())
      s.irregular = true;
    else
      s.open[body] = true;
  }

  void add_area(std::uint32_t node, std::size_t body, const Vec3& corner, const Vec3& normal, double area) {
    Sum& s = sum(node);
    if (body == 0) s.area_first += area;
    s.volume += (corner - origin_).dot(normal) * area / 3;
  }

  static bool unit_normal(const Corners& c, Vec3& normal) {
    normal = (c[1] - c[0]).cross(c[2] - c[0]);
    const double length = normal.norm();
    if (length == 0) return false;
    normal /= length;
    return true;
  }

  /// Triangles whose corners and edges lie inside.
  void add_whole_triangles() {
    for (std::uint32_t i = 0; i < inside_.parts.size(); ++i) {
      const InsidePart& part = inside_.parts[i];
      const Surface& surface = *pair_.surface[part.body];
      const Topology& topology = surface.topology();
      for (const std::uint32_t v : part.vertices) {
        for (std::uint32_t n = topology.around_begin[v]; n < topology.around_begin[v + 1]; ++n) {
          const std::uint32_t t = topology.around[n];
          const Triangle& triangle = surface.mesh().triangles[t];
          if (triangle[0] == v && inside_.part_of[part.body][triangle[1]] == i &&
              inside_.part_of[part.body][triangle[2]] == i && !crossed(part.body, t)) {
            add_whole(node_of_part(i), part.body, t);
          }
        }
      }
    }
  }

  void add_whole(std::uint32_t node, std::size_t body, std::uint32_t t) {
    const Corners c = pair_.corners(body, t);
    Vec3 normal;
    if (unit_normal(c, normal)) add_area(node, body, c[0], normal, 0.5 * (c[1] - c[0]).cross(c[2] - c[0]).norm());
  }

  bool crossed(std::size_t body, std::uint32_t triangle) const {
    return std::binary_search(crossed_[body].begin(), crossed_[body].end(), triangle);
  }

  std::array<std::vector<std::uint32_t>, 2> crossed_triangles() const {
    std::array<std::vector<std::uint32_t>, 2> all;
    for (const CrossingPair& p : crossings_.pairs) {
      all[0].push_back(p.first);
      all[1].push_back(p.second);
    }
    for (auto& list : all) {
      std::sort(list.begin(), list.end());
      list.erase(std::unique(list.begin(), list.end()), list.end());
    }
    return all;
  }

  void add_crossed_triangles() {
    for (const CrossingPair& p : crossings_.pairs) {
      if (p.start == kNone || p.end == kNone) continue;
      const Vec3 &start = crossings_.piercings[p.start].point, &end = crossings_.piercings[p.end].point;
      add_boundary(p.start, 0, p.first, start, end);
      add_boundary(p.start, 1, p.second, end, start);
    }
    for (std::size_t body = 0; body < 2; ++body) {
      for (const std::uint32_t t : crossed_[body]) {
        for (std::size_t k = 0; k < 3; ++k) add_outline(body, t, k);
      }
    }
  }

  /// A piece of the boundary of a triangle's inside part, counter-clockwise.
  void add_boundary(std::uint32_t node, std::size_t body, std::uint32_t t, const Vec3& from, const Vec3& to) {
    const Corners c = pair_.corners(body, t);
    Vec3 normal;
    if (!unit_normal(c, normal)) return;
    add_area(node, body, c[0], normal, 0.5 * normal.dot((from - c[0]).cross(to - c[0])));
  }

  void add_outline(std::size_t body, std::uint32_t t, std::size_t k) {
    const Triangle& triangle = pair_.surface[body]->mesh().triangles[t];
    const std::uint32_t from = triangle[k], to = triangle[(k + 1) % 3];
    const CrossedEdge* edge = inside_.crossed(body, from, to);
    if (edge == nullptr) {
      const std::uint32_t part = inside_.part_of[body][from];
      if (part != kNone && inside_.part_of[body][to] == part) {
        add_boundary(node_of_part(part), body, t, pair_.points[body][from], pair_.points[body][to]);
      }
      return;
    }
    for (const InnerSpan& span : edge->spans) {
      const std::uint32_t node = node_of(*edge, span);
      if (node == kNone) continue;
      const Vec3 low = point_of(span.from, body, edge->low), high = point_of(span.to, body, edge->high);
      if (from == edge->low)
        add_boundary(node, body, t, low, high);
      else
        add_boundary(node, body, t, high, low);
    }
  }

  const Vec3& point_of(std::uint32_t piercing, std::size_t body, std::uint32_t vertex) const {
    return piercing == kNone ? pair_.points[body][vertex] : crossings_.piercings[piercing].point;
  }

  void seek_depths() {
    for (std::uint32_t i = 0; i < inside_.parts.size(); ++i) {
      const InsidePart& part = inside_.parts[i];
      Deepest& deepest = sum(node_of_part(i)).deepest;
      for (const std::uint32_t v : part.vertices) {
        const VertexGaps& gaps = gaps_[part.body];
        if (gaps.nearest[v] == kNoTriangle)
          depth_.try_point(part.body, pair_.points[part.body][v], deepest);
        else
          depth_.try_known(part.body, v, std::abs(gaps.gap_mm[v]), gaps.nearest[v], deepest);
      }
    }
    for (const CrossedEdge& edge : inside_.edges) {
      for (const InnerSpan& span : edge.spans) {
        const std::uint32_t node = node_of(edge, span);
        if (node == kNone) continue;
        depth_.try_stretch(edge.body, point_of(span.from, edge.body, edge.low), point_of(span.to, edge.body, edge.high),
                           sum(node).deepest);
      }
    }
  }

  static std::string why(const Sum& s) {
    if (s.open[0] && s.open[1])
      return "the overlap reaches the open borders of both surfaces, so it encloses no volume";
    if (s.open[0]) return "the overlap reaches the open border of the first surface, so it encloses no volume";
    if (s.open[1]) return "the overlap reaches the open border of the second surface, so it encloses no volume";
    return "a surface passes through itself where the bodies overlap, so the volume is not defined";
  }

  /// More than touching. Bodies that coincide share a volume though no surface lies below the other.
  static bool overlaps(const Sum& s) {
    return s.deepest.depth_mm > kLeastDepth || (closed(s) && s.volume > kLeastVolume);
  }
  static bool closed(const Sum& s) { return !s.open[0] && !s.open[1] && !s.irregular; }

  Overlap collect() {
    Overlap out;
    out.volume_mm3 = 0.0;
    std::vector<std::uint32_t> order;
    for (std::uint32_t i = 0; i < sums_.size(); ++i) {
      if (sets_.find(i) == i && overlaps(sums_[i])) order.push_back(i);
    }
    std::stable_sort(order.begin(), order.end(), [this](std::uint32_t a, std::uint32_t b) {
      const Deepest &p = sums_[a].deepest, &q = sums_[b].deepest;
      if (p.depth_mm != q.depth_mm) return p.depth_mm > q.depth_mm;
      return std::lexicographical_compare(p.at.data(), p.at.data() + 3, q.at.data(), q.at.data() + 3);
    });
    std::vector<std::uint32_t> region_of(sums_.size(), kNone);
    for (const std::uint32_t i : order) {
      region_of[i] = static_cast<std::uint32_t>(out.regions.size());
      add_region(sums_[i], out);
    }
    for (const CrossingPair& p : crossings_.pairs) {
      const std::uint32_t node = p.start != kNone ? p.start : p.end;
      out.pair_region.push_back(node == kNone ? kNone : region_of[sets_.find(node)]);
    }
    return out;
  }

  static void add_region(const Sum& s, Overlap& out) {
    OverlapRegion region{std::max(0.0, s.deepest.depth_mm), s.deepest.at, s.deepest.direction, std::nullopt,
                         s.area_first};
    const bool defined = closed(s);
    if (defined) region.volume_mm3 = std::max(0.0, s.volume);
    if (!defined && out.volume_why.empty()) out.volume_why = why(s);
    if (defined && out.volume_mm3) *out.volume_mm3 += *region.volume_mm3;
    if (!defined) out.volume_mm3.reset();
    out.regions.push_back(region);
  }

  const PosedPair& pair_;
  const Crossings& crossings_;
  const InsideParts& inside_;
  const std::array<VertexGaps, 2>& gaps_;
  const DepthSearch depth_;
  UnionFind sets_;
  std::vector<Sum> sums_;
  std::array<std::vector<std::uint32_t>, 2> crossed_ = crossed_triangles();
  Vec3 origin_ = Vec3::Zero();
};

}  // namespace

Overlap find_overlap(const PosedPair& pair, const Crossings& crossings, const InsideParts& inside,
                     const std::array<VertexGaps, 2>& gaps) {
  return Overlaps(pair, crossings, inside, gaps).run();
}

}  // namespace intercusp
