#include "geometry/overlap.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "base/parallel.h"
#include "geometry/close_pairs.h"
#include "geometry/depth_search.h"
#include "geometry/union_find.h"

namespace intercusp {
namespace {

/// What is summed up for one region.
struct Sum {
  double area_first = 0, volume = 0;
  double error = 0;                        ///< bound of the rounding in `volume`
  std::array<bool, 2> open{false, false};  ///< an open border of that body keeps the region from being closed
  bool irregular = false;                  ///< a body passes through itself here
};

/// A piece of the boundary of a triangle's inside part, counter-clockwise.
struct Piece {
  std::uint32_t node, body, triangle;
  Vec3 from, to;
};

/// A chain of at most 32 operations with errors of 2^-53 each.
constexpr double kRounding = 32 * 1.1102230246251565e-16;
/// An area this much below zero is a hole, not rounding, mm^2.
constexpr double kLeastArea = 1e-12;
constexpr std::size_t kEdgesWorthSharing = 256;

class Overlaps {
 public:
  Overlaps(const PosedPair& pair, const Crossings& crossings, const InsideParts& inside,
           const std::array<VertexGaps, 2>& gaps, double off_mm = 0)
      : pair_(pair),
        crossings_(crossings),
        inside_(inside),
        gaps_(gaps),
        depth_(pair, off_mm),
        sets_(crossings.piercings.size() + inside.parts.size()),
        sums_(crossings.piercings.size() + inside.parts.size()),
        deepest_(sums_.size()) {
    if (!crossings.piercings.empty()) origin_ = crossings.piercings.front().point;
    if (crossings.piercings.empty() && !inside.parts.empty()) {
      const InsidePart& part = inside.parts.front();
      origin_ = pair.point(part.body, part.vertices.front());
    }
  }

  Overlap run() {
    find_sets();
    sum_up();
    seek_depths_of_vertices();
    seek_depths_of_edges();
    return collect();
  }

  std::optional<double> volume() {
    find_sets();
    sum_up();
    double whole = 0;
    for (std::uint32_t i = 0; i < sums_.size(); ++i) {
      if (set_of_[i] != i) continue;
      if (!closed(sums_[i])) return std::nullopt;
      whole += sums_[i].volume;
    }
    return std::max(0.0, whole);
  }

 private:
  void find_sets() {
    join();
    list_pieces();
    join_holes();
    for (std::uint32_t node = 0; node < sums_.size(); ++node) set_of_.push_back(sets_.find(node));
  }

  void sum_up() {
    note_what_is_open();
    add_whole_triangles();
    find_steepest();
    for (const Piece& p : pieces_) {
      add_area(p.node, p.body, p.triangle, area_of(p));
      add_error_of_points(p);
    }
  }

  std::uint32_t node_of_part(std::uint32_t part) const {
    return static_cast<std::uint32_t>(crossings_.piercings.size()) + part;
  }
  Sum& sum(std::uint32_t node) { return sums_[set_of_[node]]; }

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

  /// How much rounding of coordinates is magnified where edges meet triangles at the flattest angle.
  void find_steepest() {
    for (const Piercing& p : crossings_.piercings) {
      const Corners c = pair_.corners(1u - p.body, p.triangle);
      const Vec3 edge = pair_.point(p.body, p.high) - pair_.point(p.body, p.low);
      const double sine = std::abs(unit_normal(c).dot(edge.stableNormalized()));
      steepest_ = std::max(steepest_, 1 / std::max(sine, 1e-12));
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

  void add_area(std::uint32_t node, std::size_t body, std::uint32_t triangle, double area) {
    const Corners c = pair_.corners(body, triangle);
    Sum& s = sum(node);
    if (body == 0) s.area_first += area;
    const double height = (c[0] - origin_).dot(unit_normal(c));
    s.volume += height * area / 3;
    s.error += kRounding * (c[0] - origin_).norm() * std::abs(area);
  }

  /// Zero for a triangle without area.
  static Vec3 unit_normal(const Corners& c) { return (c[1] - c[0]).cross(c[2] - c[0]).stableNormalized(); }

  /// The piece's share of the area of its triangle's part (Green), with the triangle's first corner as origin.
  double area_of(const Piece& p) const {
    const Corners c = pair_.corners(p.body, p.triangle);
    return 0.5 * unit_normal(c).dot((p.from - c[0]).cross(p.to - c[0]));
  }

  /// Triangles whose corners and edges lie inside.
  void add_whole_triangles() {
    for (std::uint32_t i = 0; i < inside_.parts.size(); ++i) {
      const InsidePart& part = inside_.parts[i];
      const Surface& surface = *pair_.surface[part.body];
      const Topology& topology = surface.topology();
      Sum& s = sum(node_of_part(i));
      for (const std::uint32_t v : part.vertices) {
        for (std::uint32_t n = topology.around_begin[v]; n < topology.around_begin[v + 1]; ++n) {
          const std::uint32_t t = topology.around[n];
          const Triangle& triangle = surface.mesh().triangles[t];
          if (triangle[0] == v && inside_.part_of[part.body][triangle[1]] == i &&
              inside_.part_of[part.body][triangle[2]] == i && !crossed(part.body, t)) {
            add_whole(s, part.body, t);
          }
        }
      }
    }
  }

  /// A triangle with all of its area: what it adds to the volume needs no unit normal.
  void add_whole(Sum& s, std::size_t body, std::uint32_t t) const {
    const Corners c = pair_.corners(body, t);
    const Vec3 scaled = (c[1] - c[0]).cross(c[2] - c[0]), arm = c[0] - origin_;
    const double area = 0.5 * scaled.norm();
    if (body == 0) s.area_first += area;
    s.volume += arm.dot(scaled) / 6;
    s.error += kRounding * arm.norm() * area;
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

  void list_pieces() {
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
    std::stable_sort(pieces_.begin(), pieces_.end(), [](const Piece& a, const Piece& b) {
      return std::make_pair(a.body, a.triangle) < std::make_pair(b.body, b.triangle);
    });
  }

  /// A crossing curve that runs within one triangle around a hole of its part is bound to what surrounds the hole by no
  /// edge. Its area is negative: then all that bounds a part of this triangle belongs together.
  void join_holes() {
    for (std::size_t begin = 0, end = 0; begin < pieces_.size(); begin = end) {
      std::map<std::uint32_t, double> areas;
      for (; end < pieces_.size() && same_triangle(pieces_[begin], pieces_[end]); ++end) {
        areas[sets_.find(pieces_[end].node)] += area_of(pieces_[end]);
      }
      const bool hole = std::any_of(areas.begin(), areas.end(), [](const auto& a) { return a.second < -kLeastArea; });
      if (!hole) continue;
      for (const auto& [node, area] : areas) sets_.join(areas.begin()->first, node);
    }
  }

  static bool same_triangle(const Piece& a, const Piece& b) { return a.body == b.body && a.triangle == b.triangle; }

  /// Where a crossing point is off by `off`, the boundary of a part sweeps an area of its length times that.
  void add_error_of_points(const Piece& p) {
    const double reach = std::max(p.from.cwiseAbs().maxCoeff(), p.to.cwiseAbs().maxCoeff());
    const double off = kRounding * reach * steepest_;
    sum(p.node).error += off * ((p.to - p.from).norm() + off) * (p.from - origin_).norm();
  }

  void add_boundary(std::uint32_t node, std::size_t body, std::uint32_t t, const Vec3& from, const Vec3& to) {
    pieces_.push_back({node, static_cast<std::uint32_t>(body), t, from, to});
  }

  void add_outline(std::size_t body, std::uint32_t t, std::size_t k) {
    const Triangle& triangle = pair_.surface[body]->mesh().triangles[t];
    const std::uint32_t from = triangle[k], to = triangle[(k + 1) % 3];
    const CrossedEdge* edge = inside_.crossed(body, from, to);
    if (edge == nullptr) {
      const std::uint32_t part = inside_.part_of[body][from];
      if (part != kNone && inside_.part_of[body][to] == part) {
        add_boundary(node_of_part(part), body, t, pair_.point(body, from), pair_.point(body, to));
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

  Vec3 point_of(std::uint32_t piercing, std::size_t body, std::uint32_t vertex) const {
    return piercing == kNone ? pair_.point(body, vertex) : crossings_.piercings[piercing].point;
  }

  void seek_depths_of_vertices() {
    for (std::uint32_t i = 0; i < inside_.parts.size(); ++i) {
      const InsidePart& part = inside_.parts[i];
      Deepest& best = deepest_[set_of_[node_of_part(i)]];
      for (const std::uint32_t v : part.vertices) {
        const VertexGaps& gaps = gaps_[part.body];
        if (gaps.nearest[v] == kNoTriangle)
          depth_.try_point(part.body, pair_.point(part.body, v), best);
        else
          depth_.try_known(part.body, v, std::abs(gaps.gap_mm[v]), gaps.nearest[v], best);
      }
    }
  }

  /// Every other edge on another thread: those that take long lie side by side.
  void seek_depths_of_edges() {
    std::array<std::vector<Deepest>, 2> found{deepest_, deepest_};
    const auto seek = [&](std::size_t half) {
      for (std::size_t i = half; i < inside_.edges.size(); i += 2) seek_depths_of(inside_.edges[i], found[half]);
    };
    const auto even = [&] { seek(0); };
    const auto odd = [&] { seek(1); };
    if (inside_.edges.size() < kEdgesWorthSharing) {
      even();
      odd();
    } else {
      both(even, odd);
    }
    for (std::size_t set = 0; set < deepest_.size(); ++set) {
      deepest_[set] = deeper(found[1][set], found[0][set]) ? found[1][set] : found[0][set];
    }
  }

  void seek_depths_of(const CrossedEdge& edge, std::vector<Deepest>& deepest) const {
    for (const InnerSpan& span : edge.spans) {
      const std::uint32_t node = node_of(edge, span);
      if (node == kNone) continue;
      const std::uint32_t crossing = span.from != kNone ? span.from : span.to != kNone ? span.to : edge.along.front();
      depth_.try_stretch(edge.body, point_of(span.from, edge.body, edge.low), point_of(span.to, edge.body, edge.high),
                         (span.from != kNone) + (span.to != kNone), crossings_.piercings[crossing].triangle,
                         deepest[set_of_[node]]);
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
  bool overlaps(std::uint32_t set) const {
    return deepest_[set].depth_mm > kLeastDepth || (closed(sums_[set]) && sums_[set].volume > kLeastVolume);
  }
  static bool closed(const Sum& s) { return !s.open[0] && !s.open[1] && !s.irregular; }

  Overlap collect() {
    Overlap out;
    out.volume_mm3 = 0.0;
    std::vector<std::uint32_t> order;
    for (std::uint32_t i = 0; i < sums_.size(); ++i) {
      if (set_of_[i] == i && overlaps(i)) order.push_back(i);
    }
    std::stable_sort(order.begin(), order.end(),
                     [this](std::uint32_t a, std::uint32_t b) { return deeper(deepest_[a], deepest_[b]); });
    std::vector<std::uint32_t> region_of(sums_.size(), kNone);
    for (const std::uint32_t i : order) {
      region_of[i] = static_cast<std::uint32_t>(out.regions.size());
      add_region(sums_[i], deepest_[i], out);
    }
    for (const CrossingPair& p : crossings_.pairs) {
      const std::uint32_t node = p.start != kNone ? p.start : p.end;
      out.pair_region.push_back(node == kNone ? kNone : region_of[set_of_[node]]);
    }
    return out;
  }

  static void add_region(const Sum& s, const Deepest& deepest, Overlap& out) {
    OverlapRegion region{std::max(0.0, deepest.depth_mm), deepest.at, deepest.direction, std::nullopt, s.area_first};
    const bool defined = closed(s);
    if (defined) region.volume_mm3 = std::max(0.0, s.volume);
    if (!defined && out.volume_why.empty()) out.volume_why = why(s);
    if (defined && out.volume_mm3) *out.volume_mm3 += *region.volume_mm3;
    out.volume_error_mm3 += s.error;
    if (!defined) out.volume_mm3.reset();
    out.regions.push_back(region);
  }

  const PosedPair& pair_;
  const Crossings& crossings_;
  const InsideParts& inside_;
  const std::array<VertexGaps, 2>& gaps_;
  const DepthSearch depth_;
  UnionFind sets_;
  std::vector<std::uint32_t> set_of_;  ///< per node, once all are joined: the node that names its set
  std::vector<Sum> sums_;              ///< per set
  std::vector<Deepest> deepest_;       ///< per set
  std::vector<Piece> pieces_;
  std::array<std::vector<std::uint32_t>, 2> crossed_ = crossed_triangles();
  Vec3 origin_ = Vec3::Zero();
  double steepest_ = 1;
};

}  // namespace

Overlap find_overlap(const PosedPair& pair, const Crossings& crossings, const InsideParts& inside,
                     const std::array<VertexGaps, 2>& gaps, double off_mm) {
  return Overlaps(pair, crossings, inside, gaps, off_mm).run();
}

std::optional<double> overlap_volume(const PosedPair& pair) {
  std::vector<BlockPair> close;
  CloseBlocks(pair).visit(0, [&](const BlockPair& blocks) { close.push_back(blocks); });
  const Crossings crossings = find_crossings(pair, 0, close);
  std::array<VertexGaps, 2> unknown;
  for (std::size_t body = 0; body < 2; ++body) {
    const std::size_t vertices = pair.surface[body]->mesh().positions.size();
    unknown[body].gap_mm.assign(vertices, std::numeric_limits<double>::quiet_NaN());
    unknown[body].nearest.assign(vertices, kNoTriangle);
  }
  return Overlaps(pair, crossings, find_inside_parts(pair, crossings, unknown), unknown).volume();
}

}  // namespace intercusp
