#include "geometry/bvh.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "geometry/triangle_closest.h"

namespace intercusp {
namespace {

/// Ten levels of 4 hold a million blocks; a search leaves three siblings behind at each level.
constexpr int kStackSize = 64;

constexpr double kFarthestRay = 1e12;  ///< nothing lies farther
constexpr float kBeyondRays = 1e14f;   ///< places without triangles lie at 1e15

/// Squared distance as float that is not below what float distances can show for the bound.
float float_limit(double best_sq, double slack) {
  const double distance = std::sqrt(best_sq) + slack, limit = distance * distance * 1.000001;
  return limit < 1e28 ? static_cast<float>(limit) : 1e28f;  // places without triangles lie at 1e15
}

struct Pending {
  float least;  ///< squared distance, or way along a ray, to what it holds
  std::uint32_t level, index;
};

/// A ray against four boxes at once.
struct RayLanes {
  RayLanes(const Vec3& start, const Vec3& direction, double slack_mm)
      : origin(in_all_lanes(start)), slack(all_lanes(static_cast<float>(slack_mm))) {
    // Along an axis that the ray hardly leaves, finite: the slack keeps 0 times it from mattering.
    inverse = in_all_lanes(Vec3(direction.cwiseInverse().cwiseMax(-kSteepest).cwiseMin(kSteepest)));
  }

  /// Where it enters each, never too far; beyond every limit where it misses.
  Float4 entry(const Vec4& low, const Vec4& high, float limit) const {
    Float4 from = all_lanes(0), to = all_lanes(limit);
    narrow(low.x, high.x, origin.x, inverse.x, from, to);
    narrow(low.y, high.y, origin.y, inverse.y, from, to);
    narrow(low.z, high.z, origin.z, inverse.z, from, to);
    from = from * all_lanes(1 - kRounding);
    return from <= to * all_lanes(1 + kRounding) ? from : all_lanes(std::numeric_limits<float>::infinity());
  }

  Vec4 origin, inverse;
  Float4 slack;

 private:
  static constexpr double kSteepest = 1e20;
  static constexpr float kRounding = 1e-6f;

  void narrow(Float4 low, Float4 high, Float4 start, Float4 inverse_along, Float4& from, Float4& to) const {
    const Float4 a = (low - slack - start) * inverse_along, b = (high + slack - start) * inverse_along;
    from = greater(from, lesser(a, b));
    to = lesser(to, greater(a, b));
  }
};

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

/// Puts the children within the limit on the stack, the nearest on top.
int push_near(const Float4& distances, float limit, const Pending& parent, Pending* stack, int top) {
  const int base = top;
  for (unsigned lanes = lanes_within(distances, limit); lanes != 0;) {
    const std::uint32_t lane = take_lane(lanes);
    const float d = distances[static_cast<int>(lane)];
    int at = top++;
    for (; at > base && stack[at - 1].least < d; --at) stack[at] = stack[at - 1];
    stack[at] = {d, parent.level - 1, 4 * parent.index + lane};
  }
  return top;
}

}  // namespace

Bvh::Bvh(const Mesh& mesh) : Bvh(mesh, {}) {}

Vec3 Bvh::corner(std::uint32_t slot, int k) const {
  const TriangleBlock& b = blocks_[slot / 4];
  const Vec4& v = k == 0 ? b.a : k == 1 ? b.b : b.c;
  const int lane = static_cast<int>(slot % 4);
  return {v.x[lane], v.y[lane], v.z[lane]};
}

std::size_t Bvh::memory() const {
  return order_.size() * sizeof order_[0] + blocks_.size() * sizeof(TriangleBlock) + plates_.size() * sizeof(Plates) +
         boxes_.size() * sizeof(Boxes);
}

void Bvh::Front::add(const Plates& from, int lane, Place place) {
  const int at = static_cast<int>(places.size() % 4);
  if (at == 0) {
    const Vec4 nowhere = {all_lanes(1e15f), all_lanes(1e15f), all_lanes(1e15f)};
    plates.push_back({nowhere, nowhere, all_lanes(0), all_lanes(0)});
  }
  Plates& to = plates.back();
  to.centre.x[at] = from.centre.x[lane];
  to.centre.y[at] = from.centre.y[lane];
  to.centre.z[at] = from.centre.z[lane];
  to.axis.x[at] = from.axis.x[lane];
  to.axis.y[at] = from.axis.y[lane];
  to.axis.z[at] = from.axis.z[lane];
  to.radius[at] = from.radius[lane];
  to.half[at] = from.half[lane];
  places.push_back(place);
}

/// What a search for near triangles knows.
struct Bvh::Near {
  Near(const Vec3& query, double slack_mm, double limit_sq) : q(in_all_lanes(query)), slack(slack_mm) {
    lower_to(limit_sq);
  }
  void lower_to(double limit_sq) { limit = float_limit(limit_sq, slack); }

  Vec4 q;
  double slack;
  float limit = 0;
};

double Bvh::slack_for(const Vec3& query) const {
  // Rounding of the query and of the differences, as a length: a few units in the last place of the largest coordinate.
  return 5e-7 * std::max({query.cwiseAbs().maxCoeff(), static_cast<double>(box_.max().cwiseAbs().maxCoeff()),
                          static_cast<double>(box_.min().cwiseAbs().maxCoeff())});
}

template <class Visit>
bool Bvh::visit_near(Place place, float distance_sq_of_place, Near& near, Visit visit) const {
  Pending stack[kStackSize];
  int top = 0;
  stack[top++] = {distance_sq_of_place, place.level, place.index};
  while (top > 0) {
    const Pending next = stack[--top];
    if (next.least > near.limit) continue;
    if (next.level > 0) {
      top = push_near(distance_sq(plates_[first_[next.level] + next.index], near.q), near.limit, next, stack, top);
      continue;
    }
    const TriangleBlock& block = blocks_[next.index];
    const Float4 apart = distance_sq(block, near.q);
    for (unsigned lanes = lanes_within(apart, near.limit); lanes != 0;) {
      const std::uint32_t lane = take_lane(lanes);
      if (apart[static_cast<int>(lane)] <= near.limit && visit(block, 4 * next.index + lane)) return true;
    }
  }
  return false;
}

namespace {

/// Takes the exact closest points of triangles and keeps the nearest, of equally near ones the first.
class Nearest {
 public:
  Nearest(const std::vector<std::uint32_t>& order, const Vec3& query, bool& found, ClosestPoint& out, double& best_sq)
      : order_(order), query_(query), found_(found), out_(out), best_sq_(best_sq) {}

  /// True when it is the nearest so far.
  bool offer(const TriangleBlock& block, std::uint32_t slot) {
    if (found_ && order_[slot] == out_.triangle) return false;
    const Corners k = block.corners(slot % 4);
    const TrianglePoint p = closest_on_triangle(k[0], k[1], k[2], query_);
    const bool nearer = p.distance_sq < best_sq_;
    if (!nearer && (p.distance_sq > best_sq_ || (found_ && order_[slot] > out_.triangle))) return false;
    found_ = true;
    best_sq_ = p.distance_sq;
    out_ = {0, p.point, order_[slot], p.feature};
    return true;
  }

 private:
  const std::vector<std::uint32_t>& order_;
  const Vec3& query_;
  bool& found_;
  ClosestPoint& out_;
  double& best_sq_;
};

}  // namespace

void Bvh::search(const Vec3& query, double& best_sq, bool& found, ClosestPoint& out) const {
  Near near(query, slack_for(query), best_sq);
  Nearest nearest(order_, query, found, out, best_sq);
  visit_near(top(), 0, near, [&](const TriangleBlock& block, std::uint32_t slot) {
    if (nearest.offer(block, slot)) near.lower_to(best_sq);
    return false;
  });
  if (found) out.distance_mm = std::sqrt(best_sq);
}

void Bvh::closest_below(const Front& front, const Vec3& query, double limit_mm, bool& found, ClosestPoint& out) const {
  double best_sq = found ? out.distance_mm * out.distance_mm : limit_mm * limit_mm;
  if (found) best_sq = (out.point - query).squaredNorm();
  Near near(query, slack_for(query), best_sq);
  Nearest nearest(order_, query, found, out, best_sq);
  const auto visit = [&](const TriangleBlock& block, std::uint32_t slot) {
    if (nearest.offer(block, slot)) near.lower_to(best_sq);
    return false;
  };
  for (std::size_t i = 0; i < front.plates.size(); ++i) {
    const Float4 apart = distance_sq(front.plates[i], near.q);
    for (unsigned lanes = lanes_within(apart, near.limit); lanes != 0;) {
      const std::uint32_t lane = take_lane(lanes);
      const float d = apart[static_cast<int>(lane)];
      if (d <= near.limit) visit_near(front.places[4 * i + lane], d, near, visit);
    }
  }
  if (found) out.distance_mm = std::sqrt(best_sq);
}

bool Bvh::closest(const Mesh&, const Vec3& query, double limit_mm, ClosestPoint& out) const {
  if (empty()) return false;
  double best_sq = limit_mm * limit_mm;
  bool found = false;
  search(query, best_sq, found, out);
  return found;
}

bool Bvh::closest_from(const Mesh& mesh, const Vec3& query, double limit_mm, std::uint32_t hint,
                       ClosestPoint& out) const {
  if (empty()) return false;
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
  if (empty()) return false;
  const double limit_sq = radius_mm * radius_mm;
  bool found = false;
  Near near(query, slack_for(query), limit_sq);
  visit_near(top(), 0, near, [&](const TriangleBlock& block, std::uint32_t slot) {
    const Corners k = block.corners(slot % 4);
    found = closest_on_triangle(k[0], k[1], k[2], query).distance_sq <= limit_sq;
    return found;
  });
  return found;
}

bool Bvh::ray(const Mesh&, const Vec3& origin, const Vec3& direction, double limit_mm, RayHit& out) const {
  if (empty()) return false;
  const RayLanes lanes_of_ray(origin, direction, slack_for(origin));
  double best = std::min(limit_mm, kFarthestRay);
  bool found = false;
  const auto meet = [&](std::uint32_t slot) {
    double t = 0;
    if (!ray_hits(corner(slot, 0), corner(slot, 1), corner(slot, 2), origin, direction, t)) return;
    if (t > best || (found && t == best && order_[slot] >= out.triangle)) return;
    found = true;
    best = t;
    out = {t, order_[slot]};
  };
  Pending stack[kStackSize];
  int top = 0;
  stack[top++] = {0, top_level(), 0};
  while (top > 0) {
    const Pending next = stack[--top];
    if (static_cast<double>(next.least) > best) continue;
    if (next.level == 0) {
      const auto end = std::min(4 * next.index + 4, static_cast<std::uint32_t>(order_.size()));
      for (std::uint32_t slot = 4 * next.index; slot < end; ++slot) meet(slot);
      continue;
    }
    const Boxes& boxes = boxes_[first_[next.level] + next.index];
    const float limit = static_cast<float>(best);
    top = push_near(lanes_of_ray.entry(boxes.low, boxes.high, limit), kBeyondRays, next, stack, top);
  }
  return found;
}

}  // namespace intercusp
