#include "geometry/crossings.h"

#include <algorithm>
#include <tuple>

#include "base/parallel.h"

namespace intercusp {
namespace {

constexpr std::size_t kPairsWorthSharing = 1024;  ///< pairs of blocks

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

/// What a stretch of the list of blocks holds, in its order.
struct Met {
  std::vector<std::pair<std::uint32_t, std::uint32_t>> touching;
  std::vector<NearPair> near;
  std::vector<CrossingPair> pairs;
  std::vector<Found> found;

  void append(Met&& other) {
    const auto before = static_cast<std::uint32_t>(pairs.size());
    for (Found& f : other.found) f.pair += before;
    const auto add = [](auto& to, const auto& from) { to.insert(to.end(), from.begin(), from.end()); };
    add(touching, other.touching);
    add(near, other.near);
    add(pairs, other.pairs);
    add(found, other.found);
  }
};

class Finder {
 public:
  Finder(const PosedPair& pair, double near_mm) : pair_(pair), near_(near_mm), blocks_(pair) {}

  Met run(const BlockPair* begin, const BlockPair* end) {
    for (const BlockPair* both = begin; both != end; ++both) {
      blocks_.triangles(*both, near_, [this](std::uint32_t i, std::uint32_t j) { meet(shape(0, i), shape(1, j)); });
    }
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
    const std::size_t before = out_.found.size();
    const auto number = static_cast<std::uint32_t>(out_.pairs.size());
    for (std::size_t k = 0; k < 3; ++k) {
      try_edge(0, s, k, t, number);
      try_edge(1, t, k, s, number);
    }
    if (out_.found.size() > before) out_.pairs.push_back({s.triangle, t.triangle, kNone, kNone});
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
    out_.found.push_back({piercing, number, enters_on_outline == (body == 1)});
  }

  const PosedPair& pair_;
  const double near_;
  CloseBlocks blocks_;
  Met out_;
};

/// On two threads where there are two, every other part on another one: what takes long lies side by side. What is met
/// comes in the order of the list either way.
Met meet_all(const PosedPair& pair, double near_mm, const std::vector<BlockPair>& close) {
  if (close.size() < kPairsWorthSharing) return Finder(pair, near_mm).run(close.data(), close.data() + close.size());
  std::array<Met, 16> parts;
  const auto run_from = [&](std::size_t first) {
    for (std::size_t part = first; part < parts.size(); part += 2) {
      const std::size_t from = part * close.size() / parts.size(), to = (part + 1) * close.size() / parts.size();
      parts[part] = Finder(pair, near_mm).run(close.data() + from, close.data() + to);
    }
  };
  both([&] { run_from(0); }, [&] { run_from(1); });
  for (std::size_t part = 1; part < parts.size(); ++part) parts[0].append(std::move(parts[part]));
  return std::move(parts[0]);
}

template <class Pair>
bool earlier(const Pair& a, const Pair& b) {
  return std::make_pair(a.first, a.second) < std::make_pair(b.first, b.second);
}

/// Each piercing once, in order, and its number in the pairs that it belongs to.
void number_piercings(std::vector<Found>& found, Crossings& out) {
  std::stable_sort(found.begin(), found.end(),
                   [](const Found& a, const Found& b) { return full_key(a.piercing) < full_key(b.piercing); });
  for (const Found& f : found) {
    if (out.piercings.empty() || !same(out.piercings.back(), f.piercing)) out.piercings.push_back(f.piercing);
    const auto index = static_cast<std::uint32_t>(out.piercings.size() - 1);
    (f.starts ? out.pairs[f.pair].start : out.pairs[f.pair].end) = index;
  }
}

}  // namespace

Crossings find_crossings(const PosedPair& pair, double near_mm, const std::vector<BlockPair>& close) {
  Met met = meet_all(pair, near_mm, close);
  Crossings out;
  out.touching = std::move(met.touching);
  out.near = std::move(met.near);
  out.pairs = std::move(met.pairs);
  std::sort(out.touching.begin(), out.touching.end());
  std::sort(out.near.begin(), out.near.end(), earlier<NearPair>);
  number_piercings(met.found, out);
  std::stable_sort(out.pairs.begin(), out.pairs.end(), earlier<CrossingPair>);
  return out;
}

}  // namespace intercusp
