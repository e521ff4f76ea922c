#include "geometry/crossings.h"

#include <algorithm>
#include <tuple>

namespace intercusp {
namespace {

/// A piercing while it still bears the mark of the pair that found it.
struct Found {
  Piercing piercing;
  std::uint32_t pair;
  bool starts;  ///< the crossing on the first body's triangle starts here
};

auto pierced_edge(const Piercing& p) {
  return std::make_tuple(p.body, p.low, p.high);
}
auto full_key(const Piercing& p) {
  return std::make_tuple(p.body, p.low, p.high, p.t, p.triangle);
}
bool same(const Piercing& a, const Piercing& b) {
  return pierced_edge(a) == pierced_edge(b) && a.triangle == b.triangle;
}

struct Shape {
  std::uint32_t triangle;
  Corners corners;
  Box box;
};

class Finder {
 public:
  Finder(const PosedPair& pair, double near_mm) : pair_(pair), near_(near_mm) {}

  Crossings run(const std::vector<BlockPair>& close) {
    CloseBlocks blocks(pair_);
    for (const BlockPair& both : close) {
      blocks.triangles(both, near_, [this](std::uint32_t i, std::uint32_t j) { meet(shape(0, i), shape(1, j)); });
    }
    std::sort(out_.touching.begin(), out_.touching.end());
    std::sort(out_.near.begin(), out_.near.end(), [](const NearPair& a, const NearPair& b) {
      return std::make_pair(a.first, a.second) < std::make_pair(b.first, b.second);
    });
    number_piercings();
    std::stable_sort(out_.pairs.begin(), out_.pairs.end(), [](const CrossingPair& a, const CrossingPair& b) {
      return std::make_pair(a.first, a.second) < std::make_pair(b.first, b.second);
    });
    return std::move(out_);
  }

 private:
  Shape shape(std::size_t body, std::uint32_t slot) const {
    Shape shape{pair_.surface[body]->bvh().order()[slot], {}, {}};
    shape.corners = pair_.corners(body, shape.triangle);
    for (const Vec3& p : shape.corners) shape.box.extend(p);
    return shape;
  }

  void meet(const Shape& s, const Shape& t) {
    if (s.box.squaredExteriorDistance(t.box) > near_ * near_) return;
    const bool boxes_meet = s.box.intersects(t.box);
    const bool touching = boxes_meet && triangles_intersect(s.corners, t.corners);
    if (touching) out_.touching.push_back({s.triangle, t.triangle});
    if (touching || (boxes_meet && either_without_area(s, t))) find_piercings(s, t);
    if (touching || !(near_ > 0)) return;
    if (within_distance(s.corners, t.corners, near_)) out_.near.push_back({s.triangle, t.triangle});
  }

  static bool either_without_area(const Shape& s, const Shape& t) {
    return without_area(s.corners[0], s.corners[1], s.corners[2]) ||
           without_area(t.corners[0], t.corners[1], t.corners[2]);
  }

  void find_piercings(const Shape& s, const Shape& t) {
    const std::size_t before = found_.size();
    const auto number = static_cast<std::uint32_t>(out_.pairs.size());
    for (std::size_t k = 0; k < 3; ++k) {
      try_edge(0, s, k, t, number);
      try_edge(1, t, k, s, number);
    }
    if (found_.size() > before) out_.pairs.push_back({s.triangle, t.triangle, kNone, kNone});
  }

  void try_edge(std::size_t body, const Shape& of, std::size_t k, const Shape& through, std::uint32_t number) {
    const Triangle& triangle = pair_.surface[body]->mesh().triangles[of.triangle];
    const std::uint32_t from = triangle[k], to = triangle[(k + 1) % 3];
    const std::uint32_t low = std::min(from, to), high = std::max(from, to);
    const Vec3 p = pair_.point(body, low), q = pair_.point(body, high);
    const Corners& c = through.corners;
    const Passage passage = pierce(p, q, c[0], c[1], c[2], pair_.shift[body]);
    if (passage == Passage::none) return;
    Piercing piercing{static_cast<std::uint8_t>(body), low, high, through.triangle, 0, p, passage, false};
    piercing.t = pierce_parameter(p, q, c[0], c[1], c[2]);
    piercing.point = p + piercing.t * (q - p);
    piercing.border = pair_.surface[body]->border()[of.triangle][k];
    // Where the outline of the first body's triangle, run counter-clockwise, enters the second body, the part inside
    // continues along the outline, so the crossing ends there. On the second body's triangle it runs the other way.
    const bool enters_on_outline = (passage == Passage::entering) == (low == from);
    found_.push_back({piercing, number, enters_on_outline == (body == 1)});
  }

  void number_piercings() {
    std::stable_sort(found_.begin(), found_.end(),
                     [](const Found& a, const Found& b) { return full_key(a.piercing) < full_key(b.piercing); });
    for (const Found& f : found_) {
      if (out_.piercings.empty() || !same(out_.piercings.back(), f.piercing)) out_.piercings.push_back(f.piercing);
      const auto index = static_cast<std::uint32_t>(out_.piercings.size() - 1);
      (f.starts ? out_.pairs[f.pair].start : out_.pairs[f.pair].end) = index;
    }
  }

  const PosedPair& pair_;
  const double near_;
  std::vector<Found> found_;
  Crossings out_;
};

}  // namespace

Crossings find_crossings(const PosedPair& pair, double near_mm, const std::vector<BlockPair>& close) {
  return Finder(pair, near_mm).run(close);
}

}  // namespace intercusp
