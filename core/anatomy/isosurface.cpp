#include "anatomy/isosurface.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <deque>
#include <limits>

#include "anatomy/sample_grid.h"
#include "base/parallel.h"
#include "geometry/largest_part.h"

namespace intercusp {

namespace {

GridIndex cube_corner(int k) {
  return {k & 1, (k >> 1) & 1, (k >> 2) & 1};
}

/// Whether the set bits of a corner mask hang together along cube edges.
bool connected(unsigned mask) {
  if (mask == 0) return true;
  unsigned reached = mask & (~mask + 1);
  for (int round = 0; round < 8; ++round)
    for (int k = 0; k < 8; ++k)
      if (reached & (1u << k))
        for (int axis : {1, 2, 4}) reached |= (1u << (k ^ axis)) & mask;
  return reached == mask;
}

bool has_checkerboard_face(unsigned mask) {
  constexpr std::array<std::array<int, 2>, 3> kFaceAxes{{{1, 2}, {1, 4}, {2, 4}}};
  for (const auto& axes : kFaceAxes)
    for (int k = 0; k < 8; ++k) {
      if (k & (axes[0] | axes[1])) continue;
      const auto in = [&](int c) { return (mask >> c) & 1u; };
      const unsigned a = in(k), b = in(k | axes[0]), c = in(k | axes[1]), d = in(k | axes[0] | axes[1]);
      if (a == d && b == c && a != b) return true;
    }
  return false;
}

/// Masks for which one vertex a cell gives a manifold: one sheet of surface, no checkerboard faces.
const std::array<bool, 256>& simple_masks() {
  static const std::array<bool, 256> kSimple = [] {
    std::array<bool, 256> simple{};
    for (unsigned m = 0; m < 256; ++m) simple[m] = connected(m) && connected(~m & 255u) && !has_checkerboard_face(m);
    return simple;
  }();
  return kSimple;
}

class Nets {
 public:
  Nets(const ScalarField& field, const Box& box, double step) : field_(field), grid_(field, box, step) {}

  Mesh run(const Vec3& inside) {
    GridIndex c = grid_.nearest_corner(inside);
    if (!grid_.has_cell(c) || grid_.corner(c) > 0) return {};
    while (grid_.corner(c - GridIndex::UnitX()) < 0) c.x() -= 1;
    visit(c - GridIndex::UnitX());
    flood();
    fill_gaps();
    order_cells();
    place_vertices();
    for (const GridIndex& cell : active_) add_quads(cell);
    return std::move(mesh_);
  }

 private:
  unsigned mask(const GridIndex& cell) {
    unsigned m = 0;
    for (int k = 0; k < 8; ++k)
      if (grid_.corner(cell + cube_corner(k)) < 0) m |= 1u << k;
    return m;
  }

  void visit(const GridIndex& cell) {
    if (!grid_.has_cell(cell) || grid_.cell(cell) != SampleGrid::kUnvisited) return;
    grid_.cell(cell) = SampleGrid::kVisited;
    queue_.push_back(cell);
  }

  /// Follows the surface from cell to cell across faces that it crosses.
  void flood() {
    while (!queue_.empty()) {
      const GridIndex cell = queue_.front();
      queue_.pop_front();
      const unsigned m = mask(cell);
      if (m == 0 || m == 255) continue;
      active_.push_back(cell);
      for (int axis = 0; axis < 3; ++axis) visit_across(cell, m, axis);
    }
  }

  void visit_across(const GridIndex& cell, unsigned m, int axis) {
    constexpr std::array<unsigned, 3> kLowFace{0x55, 0x33, 0x0f};
    const unsigned low = kLowFace[static_cast<std::size_t>(axis)], high = ~low & 255u;
    const GridIndex step = GridIndex::Unit(axis);
    if ((m & low) != 0 && (m & low) != low) visit(cell - step);
    if ((m & high) != 0 && (m & high) != high) visit(cell + step);
  }

  /// Fills corners until every cell holds one simple sheet. Only ever adds to the solid, so it ends.
  void fill_gaps() {
    std::deque<GridIndex> todo(active_.begin(), active_.end());
    while (!todo.empty()) {
      const GridIndex cell = todo.front();
      todo.pop_front();
      if (simple_masks()[mask(cell)]) continue;
      const GridIndex corner = shallowest_outside_corner(cell);
      if (((corner.array() <= 1).any()) || ((corner.array() + 2) >= grid_.size().array()).any()) continue;
      grid_.set_corner(corner, static_cast<float>(-1e-3 * grid_.step()));
      for (int k = 0; k < 8; ++k) {
        const GridIndex around = corner - cube_corner(k);
        visit(around);
        todo.push_back(around);
      }
      flood();
    }
  }

  GridIndex shallowest_outside_corner(const GridIndex& cell) {
    GridIndex best = cell;
    float least = std::numeric_limits<float>::infinity();
    for (int k = 0; k < 8; ++k) {
      const GridIndex corner = cell + cube_corner(k);
      const float value = grid_.corner(corner);
      if (value > 0 && value < least) {
        least = value;
        best = corner;
      }
    }
    return best;
  }

  /// Memory order, and without the cells that filling has swallowed.
  void order_cells() {
    const auto gone = [&](const GridIndex& c) {
      const unsigned m = mask(c);
      return m == 0 || m == 255;
    };
    active_.erase(std::remove_if(active_.begin(), active_.end(), gone), active_.end());
    std::sort(active_.begin(), active_.end(), [](const GridIndex& a, const GridIndex& b) {
      return std::make_tuple(a.z(), a.y(), a.x()) < std::make_tuple(b.z(), b.y(), b.x());
    });
  }

  /// Every corner has its value by now, so that both halves only read the grid and write their own vertices.
  void place_vertices() {
    mesh_.positions.resize(active_.size());
    for (std::size_t i = 0; i < active_.size(); ++i) grid_.cell(active_[i]) = static_cast<std::int32_t>(i);
    in_halves(active_.size(), 4000, [this](std::size_t from, std::size_t to) {
      for (std::size_t i = from; i < to; ++i) place_vertex(active_[i]);
    });
  }

  void place_vertex(const GridIndex& cell) {
    std::array<double, 8> v;
    for (int k = 0; k < 8; ++k) v[static_cast<std::size_t>(k)] = grid_.corner(cell + cube_corner(k));
    Vec3 sum = Vec3::Zero(), gradient = Vec3::Zero();
    int crossings = 0;
    for (int k = 0; k < 8; ++k)
      for (int axis = 0; axis < 3; ++axis) {
        const int other = k ^ (1 << axis);
        if (other < k) continue;
        const double a = v[static_cast<std::size_t>(k)], b = v[static_cast<std::size_t>(other)];
        gradient[axis] += (b - a) / (4 * grid_.step());
        if ((a < 0) == (b < 0)) continue;
        sum += grid_.position(cell + cube_corner(k)) + Vec3::Unit(axis) * (grid_.step() * a / (a - b));
        ++crossings;
      }
    mesh_.positions[static_cast<std::size_t>(grid_.cell(cell))] = onto_surface(sum / crossings, gradient).cast<float>();
  }

  /// Secant steps along the cell's gradient, at most one grid step in all so that the vertex stays with its cell.
  Vec3 onto_surface(const Vec3& start, const Vec3& gradient) const {
    const double size = gradient.norm();
    if (size < 1e-6) return start;
    const Vec3 n = gradient / size;
    const double reach = 0.9 * grid_.step();
    double s0 = 0, f0 = field_.value(start);
    double s1 = std::clamp(-f0 / size, -0.5 * reach, 0.5 * reach);
    for (int round = 0; round < 3; ++round) {
      const double f1 = field_.value(start + s1 * n);
      if (std::abs(f1) < 1e-4 || f1 == f0) break;
      const double next = std::clamp(s1 - f1 * (s1 - s0) / (f1 - f0), -reach, reach);
      s0 = s1;
      f0 = f1;
      s1 = next;
    }
    return start + s1 * n;
  }

  void add_quads(const GridIndex& cell) {
    for (int axis = 0; axis < 3; ++axis) {
      const bool in0 = grid_.corner(cell) < 0, in1 = grid_.corner(cell + GridIndex::Unit(axis)) < 0;
      if (in0 == in1) continue;
      const GridIndex u = GridIndex::Unit((axis + 1) % 3), v = GridIndex::Unit((axis + 2) % 3);
      std::array<std::uint32_t, 4> q{vertex(cell - u - v), vertex(cell - v), vertex(cell), vertex(cell - u)};
      if (!in0) std::swap(q[1], q[3]);
      add_quad(q);
    }
  }

  std::uint32_t vertex(const GridIndex& cell) { return static_cast<std::uint32_t>(grid_.cell(cell)); }

  void add_quad(const std::array<std::uint32_t, 4>& q) {
    const auto at = [&](std::size_t i) -> const Vec3f& { return mesh_.positions[q[i]]; };
    const bool first = (at(0) - at(2)).squaredNorm() <= (at(1) - at(3)).squaredNorm();
    if (first) {
      mesh_.triangles.push_back({q[0], q[1], q[2]});
      mesh_.triangles.push_back({q[0], q[2], q[3]});
    } else {
      mesh_.triangles.push_back({q[0], q[1], q[3]});
      mesh_.triangles.push_back({q[1], q[2], q[3]});
    }
  }

  const ScalarField& field_;
  SampleGrid grid_;
  std::deque<GridIndex> queue_;
  std::vector<GridIndex> active_;
  Mesh mesh_;
};

}  // namespace

Mesh polygonise(const ScalarField& field, const Box& box, double step, const Vec3& inside) {
  return Nets(field, box, step).run(inside);
}

Mesh polygonise_to_count(const ScalarField& field, const Box& box, std::size_t triangles, const Vec3& inside) {
  const double wanted = static_cast<double>(triangles);
  // A first, coarser mesh tells the area; about as many triangles as squares of the step hold twice.
  double step = std::clamp(2.2 * std::sqrt(2 * 9000.0 / wanted), 0.1, 2.0);
  Mesh mesh = polygonise(field, box, step, inside);
  for (int round = 0; round < 4 && !mesh.empty(); ++round) {
    const double ratio = static_cast<double>(mesh.triangles.size()) / wanted;
    if (std::abs(ratio - 1) < 0.08) break;
    step *= std::sqrt(ratio);
    mesh = polygonise(field, box, step, inside);
  }
  keep_largest_part(mesh);  // closing gaps between crowns can leave a bubble inside
  return mesh;
}

}  // namespace intercusp
