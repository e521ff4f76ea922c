#include "geometry/polygon_fill.h"

#include <algorithm>
#include <deque>

#include "geometry/exact_sign.h"

namespace intercusp {
namespace {

constexpr std::uint32_t kNoPoint = 0xFFFFFFFFu;

/// An edge that the sweep line meets, and the open chain to its right where the region lies there.
struct SweptEdge {
  std::uint32_t top, bottom;
  bool region_right;                ///< the edge runs down
  std::deque<std::uint32_t> chain;  ///< left to right, the region below it; only with region_right
};

class PolygonSweep {
 public:
  PolygonSweep(const std::vector<Eigen::Vector2d>& points, const std::vector<PolygonEdge>& edges)
      : points_(points), next_(points.size(), kNoPoint), before_(points.size(), kNoPoint) {
    for (const auto& [from, to] : edges) {
      if (from == to || next_[from] != kNoPoint || before_[to] != kNoPoint) {
        sound_ = false;
        return;
      }
      next_[from] = to;
      before_[to] = from;
    }
  }

  std::optional<std::vector<Triangle>> run() {
    if (!sound_) return std::nullopt;
    std::vector<std::uint32_t> order;
    for (std::uint32_t v = 0; v < points_.size(); ++v) {
      if ((next_[v] == kNoPoint) != (before_[v] == kNoPoint)) return std::nullopt;
      if (next_[v] != kNoPoint) order.push_back(v);
    }
    std::sort(order.begin(), order.end(), [this](std::uint32_t a, std::uint32_t b) { return above(a, b); });
    rank_.assign(points_.size(), 0);
    for (std::uint32_t i = 0; i < order.size(); ++i) {
      if (i > 0 && points_[order[i]] == points_[order[i - 1]]) return std::nullopt;
      rank_[order[i]] = i;
    }
    for (const std::uint32_t v : order) {
      if (!pass(v)) return std::nullopt;
    }
    return std::move(triangles_);
  }

 private:
  bool above(std::uint32_t a, std::uint32_t b) const {
    const auto &p = points_[a], &q = points_[b];
    return p.y() > q.y() || (p.y() == q.y() && p.x() < q.x());
  }

  Vec3 at(std::uint32_t v) const { return {points_[v].x(), points_[v].y(), 0}; }

  /// +1 when a, b, c run counter-clockwise.
  int turn(std::uint32_t a, std::uint32_t b, std::uint32_t c) const {
    return cross_sign(at(a), at(b), at(a), at(c), 2);
  }

  /// Do two edges share a point that is no corner of both?
  bool cross(const SweptEdge& e, const SweptEdge& g) const {
    const int a = turn(e.top, e.bottom, g.top), b = turn(e.top, e.bottom, g.bottom);
    const int c = turn(g.top, g.bottom, e.top), d = turn(g.top, g.bottom, e.bottom);
    if (e.top == g.top || e.bottom == g.bottom) return a == 0 && b == 0;
    if (e.top == g.bottom || e.bottom == g.top) return false;  // one above the other
    if (a == 0 && b == 0) return !(above(e.bottom, g.top) || above(g.bottom, e.top));
    return a * b <= 0 && c * d <= 0;
  }

  bool fits(std::size_t left) const {  // neighbours left, left + 1
    return left + 1 >= swept_.size() || !cross(swept_[left], swept_[left + 1]);
  }

  /// Index of the first swept edge that does not lie to the left of v; sets `touching` where v lies on an edge.
  std::size_t place_of(std::uint32_t v, bool& touching) const {
    std::size_t low = 0, high = swept_.size();
    while (low < high) {
      const std::size_t middle = (low + high) / 2;
      const SweptEdge& e = swept_[middle];
      const int side = e.bottom == v ? 0 : turn(e.top, e.bottom, v);
      if (side == 0 && e.bottom != v) touching = true;
      if (side > 0) {
        low = middle + 1;
      } else {
        high = middle;
      }
    }
    return low;
  }

  bool pass(std::uint32_t v) {
    bool touching = false;
    const std::size_t place = place_of(v, touching);
    const bool in_from_above = above(before_[v], v), out_to_above = above(next_[v], v);
    const std::size_t ends = (in_from_above ? 1u : 0u) + (out_to_above ? 1u : 0u);
    for (std::size_t i = 0; i < ends; ++i) {
      if (place + i >= swept_.size() || swept_[place + i].bottom != v) return false;
    }
    if (touching) return false;
    if (ends == 0) return begin(v, place);
    if (ends == 2) return finish(v, place);
    return go_on(v, place, in_from_above);
  }

  bool inside_at(std::size_t place) const { return place > 0 && swept_[place - 1].region_right; }

  bool begin(std::uint32_t v, std::size_t place) {
    const int convex = turn(before_[v], v, next_[v]);
    if (convex == 0) return false;
    SweptEdge down{v, next_[v], true, {}}, up{v, before_[v], false, {}};
    if (convex > 0) {
      if (inside_at(place)) return false;
      down.chain = {v};
      swept_.insert(swept_.begin() + static_cast<std::ptrdiff_t>(place), {std::move(down), std::move(up)});
    } else {
      if (!inside_at(place)) return false;
      part(v, swept_[place - 1].chain, down.chain);
      swept_.insert(swept_.begin() + static_cast<std::ptrdiff_t>(place), {std::move(up), std::move(down)});
    }
    return (place == 0 || fits(place - 1)) && fits(place + 1);
  }

  /// Parts an open chain at its lowest corner, from which v below is always seen.
  void part(std::uint32_t v, std::deque<std::uint32_t>& left, std::deque<std::uint32_t>& right) {
    const auto lowest = std::max_element(left.begin(), left.end(),
                                         [this](std::uint32_t a, std::uint32_t b) { return rank_[a] < rank_[b]; });
    right.assign(lowest, left.end());
    left.erase(lowest + 1, left.end());
    add_right(left, v);
    add_left(right, v);
  }

  bool finish(std::uint32_t v, std::size_t place) {
    SweptEdge &left = swept_[place], &right = swept_[place + 1];
    if (left.region_right == right.region_right) return false;
    if (left.region_right) {
      for (std::size_t i = 0; i + 1 < left.chain.size(); ++i) {
        if (turn(left.chain[i], v, left.chain[i + 1]) <= 0) return false;
        triangles_.push_back({left.chain[i], v, left.chain[i + 1]});
      }
    } else {
      if (!inside_at(place)) return false;
      std::deque<std::uint32_t>& open = swept_[place - 1].chain;
      add_right(open, v);
      add_left(right.chain, v);
      open.insert(open.end(), right.chain.begin() + 1, right.chain.end());
    }
    swept_.erase(swept_.begin() + static_cast<std::ptrdiff_t>(place),
                 swept_.begin() + static_cast<std::ptrdiff_t>(place) + 2);
    return place == 0 || fits(place - 1);
  }

  bool go_on(std::uint32_t v, std::size_t place, bool down) {
    SweptEdge& e = swept_[place];
    if (e.region_right != down) return false;
    if (down) {
      add_left(e.chain, v);
    } else {
      if (!inside_at(place)) return false;
      add_right(swept_[place - 1].chain, v);
    }
    e.top = v;
    e.bottom = down ? next_[v] : before_[v];
    return (place == 0 || fits(place - 1)) && fits(place);
  }

  void add_left(std::deque<std::uint32_t>& chain, std::uint32_t v) {
    while (chain.size() > 1 && turn(chain[0], v, chain[1]) > 0) {
      triangles_.push_back({chain[0], v, chain[1]});
      chain.pop_front();
    }
    chain.push_front(v);
  }

  void add_right(std::deque<std::uint32_t>& chain, std::uint32_t v) {
    while (chain.size() > 1 && turn(chain[chain.size() - 2], v, chain.back()) > 0) {
      triangles_.push_back({chain[chain.size() - 2], v, chain.back()});
      chain.pop_back();
    }
    chain.push_back(v);
  }

  const std::vector<Eigen::Vector2d>& points_;
  std::vector<std::uint32_t> next_, before_, rank_;
  std::vector<SweptEdge> swept_;  ///< left to right
  std::vector<Triangle> triangles_;
  bool sound_ = true;
};

}  // namespace

std::optional<std::vector<Triangle>> fill_polygon(const std::vector<Eigen::Vector2d>& points,
                                                  const std::vector<PolygonEdge>& edges) {
  return PolygonSweep(points, edges).run();
}

}  // namespace intercusp
