#include <algorithm>
#include <cmath>
#include <unordered_map>

#include "geometry/exact_sign.h"
#include "geometry/polygon_fill.h"

namespace intercusp {
namespace {

constexpr std::uint32_t kBorder = 0xFFFFFFFFu;
constexpr double kFlatter = -1e-9;  ///< sum of cotangents below which an edge is turned: two angles beyond 180 degrees
constexpr std::size_t kMostFlipsEach = 50;  ///< for each triangle: rounding must not turn an edge for ever

/// Turns inner edges until each is the better diagonal (Lawson 1977).
class Flipper {
 public:
  Flipper(const std::vector<Eigen::Vector2d>& points, std::vector<Triangle>& triangles)
      : points_(points), triangles_(triangles), across_(triangles.size(), {kBorder, kBorder, kBorder}) {
    std::unordered_map<std::uint64_t, std::uint32_t> half;
    for (std::uint32_t t = 0; t < triangles.size(); ++t) {
      for (std::uint32_t k = 0; k < 3; ++k) {
        const std::uint64_t a = triangles[t][k], b = triangles[t][(k + 1) % 3];
        half.emplace((a << 32) | b, 3 * t + k);
        const auto other = half.find((b << 32) | a);
        if (other == half.end()) continue;
        across_[t][k] = other->second;
        across_[other->second / 3][other->second % 3] = 3 * t + k;
      }
    }
  }

  void run() {
    for (std::uint32_t e = 0; e < 3 * triangles_.size(); ++e) open_.push_back(e);
    std::size_t left = kMostFlipsEach * triangles_.size();
    for (std::size_t i = 0; i < open_.size() && left > 0; ++i) {
      if (wants_flip(open_[i])) {
        flip(open_[i]);
        --left;
      }
    }
  }

 private:
  /// Corner k counted from the one where edge 3 t + k of triangle t begins.
  std::uint32_t at(std::uint32_t edge, std::uint32_t k) const { return triangles_[edge / 3][(edge % 3 + k) % 3]; }

  double cotangent(std::uint32_t apex, std::uint32_t a, std::uint32_t b) const {
    const Eigen::Vector2d u = points_[a] - points_[apex], v = points_[b] - points_[apex];
    return u.dot(v) / std::abs(u.x() * v.y() - u.y() * v.x());
  }

  bool runs_left(std::uint32_t a, std::uint32_t b, std::uint32_t c) const {
    const auto lift = [this](std::uint32_t v) { return Vec3(points_[v].x(), points_[v].y(), 0); };
    return cross_sign(lift(a), lift(b), lift(a), lift(c), 2) > 0;
  }

  bool wants_flip(std::uint32_t e) const {
    const std::uint32_t o = across_[e / 3][e % 3];
    if (o == kBorder) return false;
    const std::uint32_t a = at(e, 0), b = at(e, 1), c = at(e, 2), d = at(o, 2);
    return cotangent(c, a, b) + cotangent(d, a, b) < kFlatter && runs_left(c, a, d) && runs_left(d, b, c);
  }

  void join(std::uint32_t edge, std::uint32_t other) {
    across_[edge / 3][edge % 3] = other;
    if (other != kBorder) across_[other / 3][other % 3] = edge;
  }

  /// a-b between c and d becomes c-d: triangles (c, a, d) and (d, b, c).
  void flip(std::uint32_t e) {
    const std::uint32_t o = across_[e / 3][e % 3], t = e / 3, s = o / 3;
    const std::uint32_t a = at(e, 0), b = at(e, 1), c = at(e, 2), d = at(o, 2);
    const auto beside = [this](std::uint32_t edge, std::uint32_t k) { return across_[edge / 3][(edge % 3 + k) % 3]; };
    const std::uint32_t bc = beside(e, 1), ca = beside(e, 2), ad = beside(o, 1), db = beside(o, 2);
    triangles_[t] = {c, a, d};
    triangles_[s] = {d, b, c};
    join(3 * t, ca);
    join(3 * t + 1, ad);
    join(3 * s, db);
    join(3 * s + 1, bc);
    join(3 * t + 2, 3 * s + 2);
    for (const std::uint32_t edge : {3 * t, 3 * t + 1, 3 * s, 3 * s + 1}) open_.push_back(edge);
  }

  const std::vector<Eigen::Vector2d>& points_;
  std::vector<Triangle>& triangles_;
  std::vector<std::array<std::uint32_t, 3>> across_;  ///< per triangle edge: 3 t + k of the other side
  std::vector<std::uint32_t> open_;
};

}  // namespace

void flip_to_round(const std::vector<Eigen::Vector2d>& points, std::vector<Triangle>& triangles) {
  Flipper(points, triangles).run();
}

}  // namespace intercusp
