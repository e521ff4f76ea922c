#include "geometry/self_crossings.h"

#include <algorithm>

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

using FloatBox = Eigen::AlignedBox3f;

/// A triangle in one of the cells of a grid that it reaches into.
struct Entry {
  std::uint64_t cell;
  std::uint32_t triangle;
};

class TriangleGrid {
 public:
  explicit TriangleGrid(const Mesh& mesh) : mesh_(mesh) {
    double edges = 0;
    for (const Triangle& t : mesh.triangles) {
      FloatBox box;
      for (const std::uint32_t v : t) box.extend(mesh.positions[v]);
      edges += box.sizes().maxCoeff();
      boxes_.push_back(box);
      all_.extend(box);
    }
    cell_ = static_cast<float>(std::max(1.5 * edges / static_cast<double>(mesh.triangles.size()), 1e-3));
    for (std::uint32_t t = 0; t < boxes_.size(); ++t)
      each_cell(boxes_[t], [&](std::uint64_t cell) { entries_.push_back({cell, t}); });
    std::sort(entries_.begin(), entries_.end(), [](const Entry& a, const Entry& b) {
      return a.cell < b.cell || (a.cell == b.cell && a.triangle < b.triangle);
    });
  }

  std::vector<TrianglePair> crossings(const std::vector<bool>* only) const {
    std::vector<TrianglePair> found;
    for (std::size_t begin = 0, end = 0; begin < entries_.size(); begin = end) {
      while (end < entries_.size() && entries_[end].cell == entries_[begin].cell) ++end;
      for (std::size_t i = begin; i < end; ++i)
        for (std::size_t k = i + 1; k < end; ++k) test(i, k, only, found);
    }
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
  Eigen::Vector3i place(const Vec3f& p) const {
    return ((p - all_.min()) / cell_).array().floor().cast<int>().matrix();
  }
  static std::uint64_t key(const Eigen::Vector3i& c) {
    return (static_cast<std::uint64_t>(c.z()) << 42) | (static_cast<std::uint64_t>(c.y()) << 21) |
           static_cast<std::uint64_t>(c.x());
  }

  void test(std::size_t i, std::size_t k, const std::vector<bool>* only, std::vector<TrianglePair>& found) const {
    const std::uint32_t s = entries_[i].triangle, t = entries_[k].triangle;
    if (only && !(*only)[s] && !(*only)[t]) return;
    if (!boxes_[s].intersects(boxes_[t])) return;
    // Of the cells that both reach into, the lowest one tests them.
    const Vec3f low = boxes_[s].min().cwiseMax(boxes_[t].min());
    if (key(place(low)) == entries_[i].cell && triangles_cross(mesh_, s, t)) found.emplace_back(s, t);
  }

  const Mesh& mesh_;
  std::vector<FloatBox> boxes_;
  FloatBox all_;
  float cell_ = 1;
  std::vector<Entry> entries_;
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
  if (shared == 0) return triangles_intersect(a, b);
  return edge_meets(a[(in_s + 1) % 3], a[(in_s + 2) % 3], b) || edge_meets(b[(in_t + 1) % 3], b[(in_t + 2) % 3], a);
}

std::vector<TrianglePair> self_crossings(const Mesh& mesh, const std::vector<bool>* only) {
  if (mesh.triangles.empty()) return {};
  return TriangleGrid(mesh).crossings(only);
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
