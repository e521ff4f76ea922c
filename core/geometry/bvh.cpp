#include "geometry/bvh.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "geometry/triangle_closest.h"

namespace intercusp {
namespace {

constexpr std::uint32_t kLeafSize = 4;
constexpr int kBins = 16;
constexpr int kMaxSahDepth = 40;  // below that halves are taken, so that no path is longer than 72 and stacks of
                                  // kStackSize hold three entries a step
constexpr int kStackSize = 256;

using Boxf = Eigen::AlignedBox3f;

float half_area(const Boxf& box) {
  if (box.isEmpty()) return 0;
  const Vec3f d = box.sizes();
  return d.x() * d.y() + d.y() * d.z() + d.z() * d.x();
}

/// What the builder knows of one triangle.
struct Item {
  Boxf box;
  Vec3f centre;
  std::uint32_t triangle;
};

int bin_of(float value, float low, float scale) {
  const float f = (value - low) * scale;
  return f > 0 ? (f < kBins - 1 ? static_cast<int>(f) : kBins - 1) : 0;  // written so that NaN lands in bin 0
}

/// Best place to divide: axis -1 when no division beats a leaf or none is possible.
struct Division {
  int axis = -1;
  int bin = 0;
  float low = 0, scale = 0;
};

class Builder {
 public:
  Builder(std::vector<Item>& items, std::vector<Bvh::Node>& nodes) : items_(items), nodes_(nodes) {}

  void split(std::uint32_t node, std::uint32_t begin, std::uint32_t end, int depth) {
    Boxf box, centres;
    for (std::uint32_t i = begin; i < end; ++i) {
      box.extend(items_[i].box);
      centres.extend(items_[i].centre);
    }
    nodes_[node].box = box;
    nodes_[node].first = begin;
    nodes_[node].count = end - begin;
    if (end - begin <= kLeafSize) return;
    const std::uint32_t middle = divide(begin, end, centres, depth);
    const auto left = static_cast<std::uint32_t>(nodes_.size());
    nodes_.resize(nodes_.size() + 2);
    nodes_[node].first = left;
    nodes_[node].count = 0;
    split(left, begin, middle, depth + 1);
    split(left + 1, middle, end, depth + 1);
  }

 private:
  Division best_on_axis(std::uint32_t begin, std::uint32_t end, const Boxf& centres, int axis, float& best) const {
    Division division;
    const float low = centres.min()[axis], extent = centres.max()[axis] - low;
    if (!(extent > 0)) return division;
    const float scale = kBins / extent;
    Boxf boxes[kBins];
    int counts[kBins] = {};
    for (std::uint32_t i = begin; i < end; ++i) {
      const int b = bin_of(items_[i].centre[axis], low, scale);
      boxes[b].extend(items_[i].box);
      ++counts[b];
    }
    float right_cost[kBins] = {};
    Boxf right;
    for (int b = kBins - 1, n = 0; b > 0; --b) {
      right.extend(boxes[b]);
      n += counts[b];
      right_cost[b] = half_area(right) * static_cast<float>(n);
    }
    Boxf left;
    for (int b = 1, n = 0; b < kBins; ++b) {
      left.extend(boxes[b - 1]);
      n += counts[b - 1];
      const float cost = half_area(left) * static_cast<float>(n) + right_cost[b];
      if (n == 0 || n == static_cast<int>(end - begin) || !(cost < best)) continue;
      best = cost;
      division = {axis, b, low, scale};
    }
    return division;
  }

  std::uint32_t divide(std::uint32_t begin, std::uint32_t end, const Boxf& centres, int depth) {
    Division best;
    float cost = std::numeric_limits<float>::max();
    for (int axis = 0; axis < 3 && depth < kMaxSahDepth; ++axis) {
      const Division division = best_on_axis(begin, end, centres, axis, cost);
      if (division.axis >= 0) best = division;
    }
    if (best.axis < 0) return begin + (end - begin) / 2;
    const auto middle = std::stable_partition(items_.begin() + begin, items_.begin() + end, [&](const Item& item) {
      return bin_of(item.centre[best.axis], best.low, best.scale) < best.bin;
    });
    return static_cast<std::uint32_t>(middle - items_.begin());
  }

  std::vector<Item>& items_;
  std::vector<Bvh::Node>& nodes_;
};

constexpr std::uint32_t kSlotBit = 0x80000000u;

using Float4 = float __attribute__((vector_size(16)));

Float4 lanes(const float* p) {
  return Float4{p[0], p[1], p[2], p[3]};
}

Float4 greater(Float4 a, Float4 b) {
  return a > b ? a : b;
}

/// Squared distance as float that is not below what the boxes' float distances can show for the bound.
float float_limit(double best_sq, double slack) {
  const double distance = std::sqrt(best_sq) + slack, limit = distance * distance * 1.000001;
  return limit < 3e38 ? static_cast<float>(limit) : 3e38f;
}

struct Pending {
  float distance_sq;
  std::uint32_t child;
};

/// Interval of the ray inside the box, widened a little against rounding; false when it misses.
bool ray_meets(const Boxf& box, const Vec3& origin, const Vec3& inverse, double limit, double& enter) {
  double from = 0, to = limit;
  for (int i = 0; i < 3; ++i) {
    double a = (static_cast<double>(box.min()[i]) - origin[i]) * inverse[i];
    double b = (static_cast<double>(box.max()[i]) - origin[i]) * inverse[i];
    if (std::isnan(a) || std::isnan(b)) continue;  // on the slab's plane and parallel to it: no constraint
    if (a > b) std::swap(a, b);
    from = std::max(from, a - 1e-9);
    to = std::min(to, b + 1e-9);
  }
  enter = from;
  return from <= to;
}

/// Moller and Trumbore 1997. A hair of tolerance lets no ray slip between two triangles.
bool ray_hits(const Vec3& a, const Vec3& b, const Vec3& c, const Vec3& origin, const Vec3& direction, double& t) {
  const Vec3 u = b - a, v = c - a, h = direction.cross(v);
  const double det = u.dot(h);
  if (det == 0) return false;
  const Vec3 s = origin - a;
  const double x = s.dot(h) / det;
  const Vec3 q = s.cross(u);
  const double y = direction.dot(q) / det;
  if (x < -1e-12 || y < -1e-12 || x + y > 1 + 1e-12) return false;
  t = v.dot(q) / det;
  return t >= 0;
}

}  // namespace

Bvh::Bvh(const Mesh& mesh) : Bvh(mesh, {}) {}

Bvh::Bvh(const Mesh& mesh, const std::vector<bool>& skip) {
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
    if (skip.empty() || !skip[t]) order_.push_back(t);
  }
  if (!order_.empty()) build(mesh);
}

void Bvh::build(const Mesh& mesh) {
  std::vector<Item> items(order_.size());
  for (std::size_t i = 0; i < items.size(); ++i) {
    items[i].triangle = order_[i];
    for (const std::uint32_t v : mesh.triangles[order_[i]]) items[i].box.extend(mesh.positions[v]);
    items[i].centre = items[i].box.center();
  }
  nodes_.reserve(items.size());
  nodes_.resize(1);
  Builder(items, nodes_).split(0, 0, static_cast<std::uint32_t>(items.size()), 0);
  corners_.resize(items.size());
  for (std::size_t i = 0; i < items.size(); ++i) {
    order_[i] = items[i].triangle;
    const Triangle& t = mesh.triangles[order_[i]];
    corners_[i] = {mesh.positions[t[0]], mesh.positions[t[1]], mesh.positions[t[2]]};
  }
  build_wide();
}

void Bvh::set_lane(std::uint32_t wide, int lane, const Boxf& box, std::uint32_t child) {
  for (int axis = 0; axis < 3; ++axis) {
    wide_[wide].low[axis][lane] = box.min()[axis];
    wide_[wide].high[axis][lane] = box.max()[axis];
  }
  wide_[wide].child[lane] = child;
}

std::uint32_t Bvh::add_wide_leaf(const Node& leaf) {
  const auto wide = static_cast<std::uint32_t>(wide_.size());
  wide_.emplace_back();
  for (int lane = 0; lane < 4; ++lane) set_lane(wide, lane, Boxf(), 0);
  for (std::uint32_t i = 0; i < leaf.count; ++i) {
    const Corners& k = corners_[leaf.first + i];
    Boxf box(k.a);
    box.extend(k.b);
    box.extend(k.c);
    set_lane(wide, static_cast<int>(i), box, kSlotBit | (leaf.first + i));
  }
  return wide;
}

std::uint32_t Bvh::add_wide(std::uint32_t node) {
  if (nodes_[node].count > 0) return add_wide_leaf(nodes_[node]);
  std::vector<std::uint32_t> four{nodes_[node].first, nodes_[node].first + 1};
  while (four.size() < 4) {  // open the largest inner child
    std::size_t widest = four.size();
    for (std::size_t i = 0; i < four.size(); ++i) {
      if (nodes_[four[i]].count > 0) continue;
      if (widest == four.size() || half_area(nodes_[four[i]].box) > half_area(nodes_[four[widest]].box)) widest = i;
    }
    if (widest == four.size()) break;
    const std::uint32_t first = nodes_[four[widest]].first;
    four[widest] = first;
    four.push_back(first + 1);
  }
  const auto wide = static_cast<std::uint32_t>(wide_.size());
  wide_.emplace_back();
  for (int lane = 0; lane < 4; ++lane) set_lane(wide, lane, Boxf(), 0);
  for (std::size_t i = 0; i < four.size(); ++i) {
    const std::uint32_t child = add_wide(four[i]);
    set_lane(wide, static_cast<int>(i), nodes_[four[i]].box, child);
  }
  return wide;
}

void Bvh::build_wide() {
  wide_.reserve(order_.size() / 2 + 1);
  add_wide(0);
}

template <class Visit>
void Bvh::visit_near(const Vec3& query, const double& best_sq, Visit visit) const {
  // Rounding of the query and of the differences, as a length: a few units in the last place of the largest coordinate.
  const double reach =
      std::max({query.cwiseAbs().maxCoeff(), static_cast<double>(nodes_[0].box.max().cwiseAbs().maxCoeff()),
                static_cast<double>(nodes_[0].box.min().cwiseAbs().maxCoeff())});
  const double slack = 5e-7 * reach;
  const Vec3f q = query.cast<float>();
  const Float4 x = {q.x(), q.x(), q.x(), q.x()}, y = {q.y(), q.y(), q.y(), q.y()}, z = {q.z(), q.z(), q.z(), q.z()};
  double known_sq = best_sq;
  float limit = float_limit(known_sq, slack);
  Pending stack[kStackSize];
  int top = 0;
  stack[top++] = {0, 0};
  while (top > 0) {
    const Pending next = stack[--top];
    if (next.distance_sq > limit) continue;
    if (next.child & kSlotBit) {
      if (visit(next.child & ~kSlotBit)) return;
      if (best_sq < known_sq) limit = float_limit(known_sq = best_sq, slack);
      continue;
    }
    const Wide& w = wide_[next.child];
    const Float4 zero = {0, 0, 0, 0};
    const Float4 dx = greater(greater(lanes(w.low[0]) - x, x - lanes(w.high[0])), zero);
    const Float4 dy = greater(greater(lanes(w.low[1]) - y, y - lanes(w.high[1])), zero);
    const Float4 dz = greater(greater(lanes(w.low[2]) - z, z - lanes(w.high[2])), zero);
    const Float4 d = dx * dx + dy * dy + dz * dz;
    const int base = top;
    for (int lane = 0; lane < 4; ++lane) {
      if (!(d[lane] <= limit)) continue;
      int at = top++;
      for (; at > base && stack[at - 1].distance_sq < d[lane]; --at) stack[at] = stack[at - 1];
      stack[at] = {d[lane], w.child[lane]};
    }
  }
}

void Bvh::search(const Vec3& query, double& best_sq, bool& found, ClosestPoint& out) const {
  visit_near(query, best_sq, [&](std::uint32_t slot) {
    const Corners& k = corners_[slot];
    const TrianglePoint p = closest_on_triangle(k.a.cast<double>(), k.b.cast<double>(), k.c.cast<double>(), query);
    if (found ? !(p.distance_sq < best_sq) : !(p.distance_sq <= best_sq)) return false;
    found = true;
    best_sq = p.distance_sq;
    out = {0, p.point, order_[slot], p.feature};
    return false;
  });
  if (found) out.distance_mm = std::sqrt(best_sq);
}

bool Bvh::closest(const Mesh&, const Vec3& query, double limit_mm, ClosestPoint& out) const {
  if (nodes_.empty()) return false;
  double best_sq = limit_mm * limit_mm;
  bool found = false;
  search(query, best_sq, found, out);
  return found;
}

bool Bvh::closest_from(const Mesh& mesh, const Vec3& query, double limit_mm, std::uint32_t hint,
                       ClosestPoint& out) const {
  if (nodes_.empty()) return false;
  double best_sq = limit_mm * limit_mm;
  const TrianglePoint p = closest_on_triangle(mesh.corner(hint, 0), mesh.corner(hint, 1), mesh.corner(hint, 2), query);
  bool found = p.distance_sq <= best_sq;
  if (found) {
    best_sq = p.distance_sq;
    out = {0, p.point, hint, p.feature};
  }
  search(query, best_sq, found, out);
  return found;
}

bool Bvh::any_within(const Vec3& query, double radius_mm) const {
  if (nodes_.empty()) return false;
  const double limit_sq = radius_mm * radius_mm;
  bool found = false;
  visit_near(query, limit_sq, [&](std::uint32_t slot) {
    const Corners& k = corners_[slot];
    const Vec3 a = k.a.cast<double>(), b = k.b.cast<double>(), c = k.c.cast<double>();
    found = closest_on_triangle(a, b, c, query).distance_sq <= limit_sq;
    return found;
  });
  return found;
}

bool Bvh::ray(const Mesh&, const Vec3& origin, const Vec3& direction, double limit_mm, RayHit& out) const {
  if (nodes_.empty()) return false;
  const Vec3 inverse = direction.cwiseInverse();
  double best = limit_mm, enter = 0;
  bool found = false;
  std::uint32_t stack[kStackSize];
  int top = 0;
  stack[top++] = 0;
  while (top > 0) {
    const Node& node = nodes_[stack[--top]];
    if (!ray_meets(node.box, origin, inverse, best, enter)) continue;
    if (node.count == 0) {
      double left = 0, right = 0;
      const bool go_left = ray_meets(nodes_[node.first].box, origin, inverse, best, left);
      const bool go_right = ray_meets(nodes_[node.first + 1].box, origin, inverse, best, right);
      const std::uint32_t swap = go_left && go_right && right < left ? 1 : 0;
      if (go_right || swap) stack[top++] = node.first + 1 - swap;
      if (go_left) stack[top++] = node.first + swap;
      continue;
    }
    for (std::uint32_t slot = node.first; slot < node.first + node.count; ++slot) {
      const Corners& k = corners_[slot];
      double t = 0;
      if (!ray_hits(k.a.cast<double>(), k.b.cast<double>(), k.c.cast<double>(), origin, direction, t)) continue;
      if (found ? t < best : t <= best) {
        found = true;
        best = t;
        out = {t, order_[slot]};
      }
    }
  }
  return found;
}

}  // namespace intercusp
