#include "geometry/self_crossings.h"

#include <algorithm>
#include <mutex>

#include "base/parallel.h"
#include "geometry/exact_sign.h"
#include "geometry/triangle_pair.h"

namespace intercusp {

namespace {

/// The same in one plane, seen along a coordinate axis in which the triangle has area.
bool flat_segment_meets(const Vec3& p, const Vec3& q, const Corners& t) {
  int axis = 0;
  while (axis < 2 && cross_sign(t[0], t[1], t[0], t[2], axis) == 0) ++axis;
  const auto turn = [axis](const Vec3& a, const Vec3& b, const Vec3& c) { return cross_sign(a, b, a, c, axis); };
  const int way = turn(t[0], t[1], t[2]);
  bool inside = true;
  for (std::size_t k = 0; k < 3; ++k) {
    const Vec3 &a = t[k], &b = t[(k + 1) % 3];
    const int sp = turn(a, b, p), sq = turn(a, b, q);
    if (sp * sq <= 0 && turn(p, q, a) * turn(p, q, b) <= 0 && (sp != 0 || sq != 0)) return true;
    inside = inside && sp * way >= 0;
  }
  return inside;
}

bool edge_meets(const Vec3& p, const Vec3& q, const Corners& t) {
  const int sp = side_of_plane(t[0], t[1], t[2], p), sq = side_of_plane(t[0], t[1], t[2], q);
  if (sp * sq > 0) return false;
  if (sp == 0 && sq == 0) return flat_segment_meets(p, q, t);
  const int a = side_of_plane(p, q, t[0], t[1]), b = side_of_plane(p, q, t[1], t[2]),
            c = side_of_plane(p, q, t[2], t[0]);
  return (a >= 0 && b >= 0 && c >= 0) || (a <= 0 && b <= 0 && c <= 0);
}

constexpr double kPartDoubt = 1e-9;  ///< far more than rounding makes of a product of edges, relative

/// Whether a plane parts triangles that share the corner `at`, told without doubt. `a`, `b`: their other corners.
bool fan_parted(const Vec3& at, const Vec3& a0, const Vec3& a1, const Vec3& b0, const Vec3& b1) {
  const Vec3 u0 = (a0 - at).normalized(), u1 = (a1 - at).normalized(), v0 = (b0 - at).normalized(),
             v1 = (b1 - at).normalized();
  const Vec3 across = u0 + u1 - v0 - v1;
  return across.dot(u0) > kPartDoubt && across.dot(u1) > kPartDoubt && across.dot(v0) < -kPartDoubt &&
         across.dot(v1) < -kPartDoubt;
}

bool parted_along(const Vec3& axis, const Corners& a, const Corners& b) {
  const Vec3& o = a[0];  // near both, so that rounding goes by their size
  const double a1 = axis.dot(a[1] - o), a2 = axis.dot(a[2] - o);
  const double b0 = axis.dot(b[0] - o), b1 = axis.dot(b[1] - o), b2 = axis.dot(b[2] - o);
  const double a_low = std::min({0.0, a1, a2}), a_high = std::max({0.0, a1, a2});
  const double b_low = std::min({b0, b1, b2}), b_high = std::max({b0, b1, b2});
  const double doubt = kPartDoubt * (a_high - a_low + b_high - b_low);
  return b_low > a_high + doubt || a_low > b_high + doubt;
}

/// Whether a plane parts two triangles, told without doubt: across their middles, along either of them, or through an
/// edge square to it.
bool parted(const Corners& a, const Corners& b) {
  if (parted_along(b[0] + b[1] + b[2] - a[0] - a[1] - a[2], a, b)) return true;
  const Vec3 na = (a[1] - a[0]).cross(a[2] - a[0]), nb = (b[1] - b[0]).cross(b[2] - b[0]);
  if (parted_along(na, a, b) || parted_along(nb, a, b)) return true;
  for (std::size_t k = 0; k < 3; ++k) {
    if (parted_along(na.cross(a[(k + 1) % 3] - a[k]), a, b)) return true;
    if (parted_along(nb.cross(b[(k + 1) % 3] - b[k]), a, b)) return true;
  }
  return false;
}

using FloatBox = Eigen::AlignedBox3f;

/// A triangle in one of the cells of a grid that it reaches into.
struct Entry {
  std::uint64_t cell;
  std::uint32_t triangle;
};

std::size_t power_of_two_over(std::size_t count) {
  std::size_t power = 1;
  while (power < count) power *= 2;
  return power;
}

/// With `only`, of the triangles that share a cell with a marked one.
class TriangleGrid {
 public:
  TriangleGrid(const Mesh& mesh, const std::vector<bool>* only) : mesh_(mesh), only_(only) {
    boxes_.resize(mesh.triangles.size());
    in_halves(boxes_.size(), 20000, [&](std::size_t from, std::size_t to) {
      for (std::size_t t = from; t < to; ++t)
        for (const std::uint32_t v : mesh.triangles[t]) boxes_[t].extend(mesh.positions[v]);
    });
    double edges = 0;
    for (const FloatBox& box : boxes_) {
      edges += box.sizes().maxCoeff();
      all_.extend(box);
    }
    cell_ = static_cast<float>(std::max(1.5 * edges / static_cast<double>(mesh.triangles.size()), 1e-3));
    const Eigen::Vector3i most = place(all_.max());
    columns_ = static_cast<std::uint64_t>(most.x()) + 1;
    rows_ = static_cast<std::uint64_t>(most.y()) + 1;
    sort_into_buckets(taking_part());
  }

  std::vector<TrianglePair> crossings() const {
    std::vector<TrianglePair> found;
    std::mutex access;
    in_halves(begin_.size() - 1, 2000, [&](std::size_t from, std::size_t to) {
      std::vector<TrianglePair> here;
      for (std::size_t b = from; b < to; ++b)
        for (std::size_t i = begin_[b]; i < begin_[b + 1]; ++i)
          for (std::size_t k = i + 1; k < begin_[b + 1]; ++k) test(i, k, here);
      const std::lock_guard<std::mutex> lock(access);
      found.insert(found.end(), here.begin(), here.end());
    });
    std::sort(found.begin(), found.end());
    return found;
  }

 private:
  template <class Visit>
  void each_cell(const FloatBox& box, const Visit& visit) const {
    const Eigen::Vector3i low = place(box.min()), high = place(box.max());
    for (int z = low.z(); z <= high.z(); ++z)
      for (int y = low.y(); y <= high.y(); ++y)
        for (int x = low.x(); x <= high.x(); ++x) visit(key(Eigen::Vector3i(x, y, z)));
  }
  /// Triangles that can be in a pair, in their order; a few more, since cells share the places where they are noted.
  std::vector<std::uint32_t> taking_part() const {
    std::vector<std::uint32_t> in;
    std::vector<char> noted(only_ ? power_of_two_over(4 * boxes_.size()) : 0, 0);
    const std::uint64_t mask = noted.size() - 1;
    for (std::uint32_t t = 0; only_ && t < boxes_.size(); ++t)
      if ((*only_)[t]) each_cell(boxes_[t], [&](std::uint64_t cell) { noted[cell & mask] = 1; });
    for (std::uint32_t t = 0; t < boxes_.size(); ++t) {
      bool near = !only_ || (*only_)[t];
      if (!near) each_cell(boxes_[t], [&](std::uint64_t cell) { near = near || noted[cell & mask]; });
      if (near) in.push_back(t);
    }
    return in;
  }
  /// Cells share buckets, a few at most; the triangles of a bucket stand in their order.
  void sort_into_buckets(const std::vector<std::uint32_t>& triangles) {
    begin_.assign(power_of_two_over(2 * triangles.size()) + 1, 0);
    bucket_mask_ = begin_.size() - 2;
    for (const std::uint32_t t : triangles)
      each_cell(boxes_[t], [&](std::uint64_t cell) { ++begin_[bucket(cell) + 1]; });
    for (std::size_t b = 1; b < begin_.size(); ++b) begin_[b] += begin_[b - 1];
    entries_.resize(begin_.back());
    std::vector<std::uint32_t> next(begin_.begin(), begin_.end() - 1);
    for (const std::uint32_t t : triangles)
      each_cell(boxes_[t], [&](std::uint64_t cell) { entries_[next[bucket(cell)]++] = {cell, t}; });
  }
  std::size_t bucket(std::uint64_t cell) const { return static_cast<std::size_t>(cell & bucket_mask_); }
  Eigen::Vector3i place(const Vec3f& p) const {
    return ((p - all_.min()) / cell_).array().floor().cast<int>().matrix();
  }
  /// Neighbours along x follow each other, so that they lie beside each other in memory.
  std::uint64_t key(const Eigen::Vector3i& c) const {
    return (static_cast<std::uint64_t>(c.z()) * rows_ + static_cast<std::uint64_t>(c.y())) * columns_ +
           static_cast<std::uint64_t>(c.x());
  }

  void test(std::size_t i, std::size_t k, std::vector<TrianglePair>& found) const {
    if (entries_[i].cell != entries_[k].cell) return;
    const std::uint32_t s = entries_[i].triangle, t = entries_[k].triangle;
    if (only_ && !(*only_)[s] && !(*only_)[t]) return;
    if (!boxes_[s].intersects(boxes_[t])) return;
    // Of the cells that both reach into, the lowest one tests them.
    const Vec3f low = boxes_[s].min().cwiseMax(boxes_[t].min());
    if (key(place(low)) == entries_[i].cell && triangles_cross(mesh_, s, t)) found.emplace_back(s, t);
  }

  const Mesh& mesh_;
  const std::vector<bool>* only_;
  std::vector<FloatBox> boxes_;
  FloatBox all_;
  float cell_ = 1;
  std::uint64_t columns_ = 1, rows_ = 1, bucket_mask_ = 0;
  std::vector<Entry> entries_;
  std::vector<std::uint32_t> begin_;  ///< of each bucket in entries_, and the end of the last
};

/// Neighbours of the marked vertices, marked as well.
std::vector<bool> one_ring_more(const Mesh& mesh, const std::vector<bool>& marked) {
  std::vector<bool> more = marked;
  for (const Triangle& t : mesh.triangles)
    if (marked[t[0]] || marked[t[1]] || marked[t[2]])
      for (const std::uint32_t v : t) more[v] = true;
  return more;
}

/// Marked vertices to the middle of the vertices around them, all at once.
void flatten(Mesh& mesh, const std::vector<bool>& marked) {
  std::vector<Vec3> sum(mesh.positions.size(), Vec3::Zero());
  std::vector<double> count(mesh.positions.size(), 0);
  for (const Triangle& t : mesh.triangles)
    for (std::size_t k = 0; k < 3; ++k)
      if (marked[t[k]])
        for (const std::size_t other : {(k + 1) % 3, (k + 2) % 3}) {
          sum[t[k]] += mesh.positions[t[other]].cast<double>();
          count[t[k]] += 1;
        }
  for (std::size_t v = 0; v < marked.size(); ++v)
    if (marked[v] && count[v] > 0) mesh.positions[v] = (sum[v] / count[v]).cast<float>();
}

}  // namespace

bool triangles_cross(const Mesh& mesh, std::uint32_t s, std::uint32_t t) {
  std::size_t shared = 0, in_s = 0, in_t = 0;
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t k = 0; k < 3; ++k) {
      if (mesh.triangles[s][i] != mesh.triangles[t][k]) continue;
      ++shared;
      in_s = i;
      in_t = k;
    }
  if (shared > 1) return false;
  const auto corners = [&](std::uint32_t n) {
    return Corners{mesh.corner(n, 0), mesh.corner(n, 1), mesh.corner(n, 2)};
  };
  const Corners a = corners(s), b = corners(t);
  if (shared == 0) return !parted(a, b) && triangles_intersect(a, b);
  const Vec3 &p = a[(in_s + 1) % 3], &q = a[(in_s + 2) % 3], &u = b[(in_t + 1) % 3], &v = b[(in_t + 2) % 3];
  return !fan_parted(a[in_s], p, q, u, v) && (edge_meets(p, q, b) || edge_meets(u, v, a));
}

std::vector<TrianglePair> self_crossings(const Mesh& mesh, const std::vector<bool>* only) {
  if (mesh.triangles.empty()) return {};
  return TriangleGrid(mesh, only).crossings();
}

std::size_t untangle(Mesh& mesh, const std::vector<bool>& fixed) {
  constexpr int kRounds = 24, kWiderEvery = 4;
  std::vector<TrianglePair> pairs = self_crossings(mesh);
  for (int round = 0; round < kRounds && !pairs.empty(); ++round) {
    std::vector<bool> vertices(mesh.positions.size(), false);
    for (const auto& [s, t] : pairs)
      for (const std::uint32_t triangle : {s, t})
        for (const std::uint32_t v : mesh.triangles[triangle]) vertices[v] = true;
    for (int ring = 0; ring < round / kWiderEvery; ++ring) vertices = one_ring_more(mesh, vertices);
    for (std::size_t v = 0; v < vertices.size(); ++v) vertices[v] = vertices[v] && !fixed[v];
    flatten(mesh, vertices);
    std::vector<bool> touched(mesh.triangles.size(), false);
    for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
      for (const std::uint32_t v : mesh.triangles[t]) touched[t] = touched[t] || vertices[v];
    for (const auto& [s, t] : pairs) touched[s] = touched[t] = true;
    pairs = self_crossings(mesh, &touched);
  }
  return pairs.size();
}

}  // namespace intercusp
