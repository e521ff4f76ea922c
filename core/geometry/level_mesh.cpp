#include "geometry/level_mesh.h"

#include <algorithm>
#include <cmath>
#include <unordered_map>

#include "base/parallel.h"

namespace intercusp {
namespace {

/// Corners of a cell are numbered by bits (x, y, z); six tetrahedra around the diagonal 0-7.
constexpr std::array<std::array<int, 4>, 6> kTetrahedra{
    {{0, 1, 3, 7}, {0, 3, 2, 7}, {0, 2, 6, 7}, {0, 6, 4, 7}, {0, 4, 5, 7}, {0, 5, 1, 7}}};
constexpr std::size_t kBlock = 4;
/// New vertices keep off the corners by this share, so that no triangle is without area.
constexpr double kOffCorner = 0.02;

class LevelMesher {
 public:
  LevelMesher(const std::function<double(const Vec3&)>& value, const Box& box, double step)
      : low_(box.min()), step_(step) {
    for (int axis = 0; axis < 3; ++axis) {
      const double cells = std::ceil(box.sizes()[axis] / step);
      count_[static_cast<std::size_t>(axis)] = static_cast<std::size_t>(std::max(1.0, cells)) + 3;  // a rim outside
    }
    values_.resize(count_[0] * count_[1] * count_[2]);
    for (std::size_t axis = 0; axis < 3; ++axis) blocks_[axis] = (count_[axis] + kBlock - 1) / kBlock;
    in_halves(blocks_[0] * blocks_[1] * blocks_[2], 64, [&](std::size_t begin, std::size_t end) {
      for (std::size_t i = begin; i < end; ++i) ask_block(value, i);
    });
  }

  Mesh run() {
    for (std::size_t z = 0; z + 1 < count_[2]; ++z) {
      for (std::size_t y = 0; y + 1 < count_[1]; ++y) {
        for (std::size_t x = 0; x + 1 < count_[0]; ++x) cell(x, y, z);
      }
    }
    return std::move(mesh_);
  }

 private:
  std::array<std::size_t, 3> indices(std::size_t i) const {
    return {i % count_[0], i / count_[0] % count_[1], i / (count_[0] * count_[1])};
  }
  Vec3 place(std::size_t i) const {
    const auto at = indices(i);
    return low_ + step_ * (Vec3(static_cast<double>(at[0]), static_cast<double>(at[1]), static_cast<double>(at[2])) -
                           Vec3::Ones());
  }
  bool on_rim(std::size_t i) const {
    const auto at = indices(i);
    for (std::size_t axis = 0; axis < 3; ++axis) {
      if (at[axis] == 0 || at[axis] + 1 == count_[axis]) return true;
    }
    return false;
  }

  /// All corners of one block: each for itself only where the surface may pass.
  void ask_block(const std::function<double(const Vec3&)>& value, std::size_t block) {
    std::array<std::size_t, 3> low{block % blocks_[0] * kBlock, block / blocks_[0] % blocks_[1] * kBlock,
                                   block / (blocks_[0] * blocks_[1]) * kBlock};
    const double half = 0.5 * static_cast<double>(kBlock - 1);
    const Vec3 middle = place(index(low)) + half * step_ * Vec3::Ones();
    const double there = value(middle);
    const bool far = std::abs(there) > 1.01 * half * step_ * std::sqrt(3.0);
    for (std::size_t k = 0; k < kBlock * kBlock * kBlock; ++k) {
      const std::array<std::size_t, 3> at{low[0] + k % kBlock, low[1] + k / kBlock % kBlock,
                                          low[2] + k / (kBlock * kBlock)};
      if (at[0] >= count_[0] || at[1] >= count_[1] || at[2] >= count_[2]) continue;
      const std::size_t i = index(at);
      // The rim counts as outside, which closes the solid there.
      values_[i] = on_rim(i) ? step_ : far ? there : value(place(i));
    }
  }

  std::size_t index(const std::array<std::size_t, 3>& at) const {
    return at[0] + count_[0] * (at[1] + count_[1] * at[2]);
  }

  void cell(std::size_t x, std::size_t y, std::size_t z) {
    std::array<std::size_t, 8> corner;
    int inside = 0;
    for (std::size_t k = 0; k < 8; ++k) {
      corner[k] = (x + (k & 1)) + count_[0] * ((y + (k >> 1 & 1)) + count_[1] * (z + (k >> 2 & 1)));
      inside += values_[corner[k]] < 0;
    }
    if (inside == 0 || inside == 8) return;
    for (const auto& t : kTetrahedra) {
      tetrahedron({corner[static_cast<std::size_t>(t[0])], corner[static_cast<std::size_t>(t[1])],
                   corner[static_cast<std::size_t>(t[2])], corner[static_cast<std::size_t>(t[3])]});
    }
  }

  void tetrahedron(const std::array<std::size_t, 4>& c) {
    std::array<std::size_t, 4> in{}, out{};
    std::size_t ins = 0, outs = 0;
    for (const std::size_t i : c) (values_[i] < 0 ? in[ins++] : out[outs++]) = i;
    if (ins == 1) {
      triangle(vertex(in[0], out[0]), vertex(in[0], out[1]), vertex(in[0], out[2]), in[0], out[0]);
    } else if (ins == 3) {
      triangle(vertex(in[0], out[0]), vertex(in[1], out[0]), vertex(in[2], out[0]), in[0], out[0]);
    } else if (ins == 2) {
      const std::uint32_t a = vertex(in[0], out[0]), b = vertex(in[0], out[1]), d = vertex(in[1], out[1]),
                          e = vertex(in[1], out[0]);
      triangle(a, b, d, in[0], out[0]);
      triangle(a, d, e, in[0], out[0]);
    }
  }

  std::uint32_t vertex(std::size_t in, std::size_t out) {
    const std::size_t low = std::min(in, out), high = std::max(in, out);
    const auto found =
        vertices_.try_emplace(low * values_.size() + high, static_cast<std::uint32_t>(mesh_.positions.size()));
    if (found.second) {
      const double t = values_[low] / (values_[low] - values_[high]);
      const double kept = std::clamp(t, kOffCorner, 1 - kOffCorner);
      mesh_.positions.push_back((place(low) + kept * (place(high) - place(low))).cast<float>());
    }
    return found.first->second;
  }

  /// Turned so that its normal points from the corner inside to the one outside.
  void triangle(std::uint32_t a, std::uint32_t b, std::uint32_t c, std::size_t in, std::size_t out) {
    const Vec3 p = mesh_.positions[a].cast<double>(), q = mesh_.positions[b].cast<double>(),
               r = mesh_.positions[c].cast<double>();
    const bool outward = (q - p).cross(r - p).dot(place(out) - place(in)) > 0;
    mesh_.triangles.push_back(outward ? Triangle{a, b, c} : Triangle{a, c, b});
  }

  Vec3 low_;
  double step_;
  std::array<std::size_t, 3> count_{}, blocks_{};
  std::vector<double> values_;
  std::unordered_map<std::size_t, std::uint32_t> vertices_;
  Mesh mesh_;
};

}  // namespace

Mesh level_mesh(const std::function<double(const Vec3&)>& value, const Box& box, double step_mm) {
  return LevelMesher(value, box, step_mm).run();
}

}  // namespace intercusp
