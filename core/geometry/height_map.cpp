#include "geometry/height_map.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace intercusp {
namespace {

constexpr float kNothing = std::numeric_limits<float>::quiet_NaN();
constexpr double kFarSquare = 1e6;

/// Lower envelope of parabolas rooted at the samples of one line, in units of the spacing.
void squared_distances(std::vector<double>& line, std::vector<double>& out, std::vector<long>& root,
                       std::vector<double>& from) {
  const long n = static_cast<long>(line.size());
  const auto value = [&](long i) { return line[static_cast<std::size_t>(i)]; };
  long last = 0;
  root[0] = 0;
  from[0] = -kFarSquare;
  from[1] = kFarSquare;
  for (long q = 1; q < n; ++q) {
    double meets;
    while (true) {
      const long r = root[static_cast<std::size_t>(last)];
      meets = ((value(q) + static_cast<double>(q * q)) - (value(r) + static_cast<double>(r * r))) /
              static_cast<double>(2 * (q - r));
      if (last == 0 || meets > from[static_cast<std::size_t>(last)]) break;
      --last;
    }
    ++last;
    root[static_cast<std::size_t>(last)] = q;
    from[static_cast<std::size_t>(last)] = meets;
    from[static_cast<std::size_t>(last) + 1] = std::numeric_limits<double>::infinity();
  }
  long k = 0;
  for (long q = 0; q < n; ++q) {
    while (from[static_cast<std::size_t>(k) + 1] < static_cast<double>(q)) ++k;
    const long r = root[static_cast<std::size_t>(k)];
    out[static_cast<std::size_t>(q)] = static_cast<double>((q - r) * (q - r)) + value(r);
  }
}

/// Applies `work(read, write)` to every row, then to every column: read(i) and write(i) reach the nodes of that line.
template <class Work>
void line_by_line(HeightMap& map, Work work) {
  for (long j = 0; j < map.rows(); ++j) {
    work(map.columns(), [&, j](long i) -> float& { return map.at(i, j); });
  }
  for (long i = 0; i < map.columns(); ++i) {
    work(map.rows(), [&, i](long j) -> float& { return map.at(i, j); });
  }
}

/// Sums over a window of `reach` to either side along every line.
void sum_windows(HeightMap& map, long reach) {
  std::vector<double> upto;
  line_by_line(map, [&](long n, auto at) {
    upto.assign(static_cast<std::size_t>(n) + 1, 0);
    for (long i = 0; i < n; ++i) {
      upto[static_cast<std::size_t>(i) + 1] = upto[static_cast<std::size_t>(i)] + static_cast<double>(at(i));
    }
    for (long i = 0; i < n; ++i) {
      const long from = std::max(0L, i - reach), to = std::min(n, i + reach + 1);
      at(i) = static_cast<float>(upto[static_cast<std::size_t>(to)] - upto[static_cast<std::size_t>(from)]);
    }
  });
}

}  // namespace

HeightMap::HeightMap(const Box& region, double spacing_mm, float value)
    : low_(region.min().head<2>()), spacing_(spacing_mm) {
  const Vec3 size = region.sizes();
  columns_ = std::max(2L, static_cast<long>(std::ceil(size.x() / spacing_mm)) + 1);
  rows_ = std::max(2L, static_cast<long>(std::ceil(size.y() / spacing_mm)) + 1);
  value_.assign(static_cast<std::size_t>(columns_ * rows_), value);
}

double HeightMap::between(double x, double y) const {
  const double u = std::clamp((x - low_.x()) / spacing_, 0.0, static_cast<double>(columns_ - 1) - 1e-9);
  const double v = std::clamp((y - low_.y()) / spacing_, 0.0, static_cast<double>(rows_ - 1) - 1e-9);
  const long i = static_cast<long>(u), j = static_cast<long>(v);
  const double s = u - static_cast<double>(i), t = v - static_cast<double>(j);
  const double near = (1 - s) * static_cast<double>(at(i, j)) + s * static_cast<double>(at(i + 1, j));
  const double far = (1 - s) * static_cast<double>(at(i, j + 1)) + s * static_cast<double>(at(i + 1, j + 1));
  return (1 - t) * near + t * far;
}

void HeightMap::lower_to(const Mesh& mesh, const Eigen::Vector2d& shear) {
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    std::array<Vec3, 3> corner;
    for (int k = 0; k < 3; ++k) {
      Vec3& p = corner[static_cast<std::size_t>(k)] = mesh.corner(t, k);
      p.head<2>() = (p.head<2>() - shear * p.z() - low_) / spacing_;
    }
    cover(corner[0], corner[1], corner[2]);
  }
}

/// Corners in units of the grid.
void HeightMap::cover(const Vec3& a, const Vec3& b, const Vec3& c) {
  const Eigen::Vector2d ab = (b - a).head<2>(), ac = (c - a).head<2>();
  const double twice = ab.x() * ac.y() - ab.y() * ac.x();
  if (std::abs(twice) < 1e-12) return;
  const auto clip = [](double x, long count) { return std::clamp(static_cast<long>(x), 0L, count - 1); };
  const long i0 = clip(std::ceil(std::min({a.x(), b.x(), c.x()})), columns_);
  const long i1 = clip(std::floor(std::max({a.x(), b.x(), c.x()})), columns_);
  const long j0 = clip(std::ceil(std::min({a.y(), b.y(), c.y()})), rows_);
  const long j1 = clip(std::floor(std::max({a.y(), b.y(), c.y()})), rows_);
  for (long j = j0; j <= j1; ++j) {
    for (long i = i0; i <= i1; ++i) {
      const Eigen::Vector2d p(static_cast<double>(i) - a.x(), static_cast<double>(j) - a.y());
      const double s = (p.x() * ac.y() - p.y() * ac.x()) / twice, t = (ab.x() * p.y() - ab.y() * p.x()) / twice;
      if (s < -1e-9 || t < -1e-9 || s + t > 1 + 1e-9) continue;
      const auto z = static_cast<float>(a.z() + s * (b.z() - a.z()) + t * (c.z() - a.z()));
      float& held = at(i, j);
      if (!(held <= z)) held = z;
    }
  }
}

HeightMap distance_to(const HeightMap& shape, const std::vector<bool>& set) {
  HeightMap map = shape;
  for (std::size_t n = 0; n < map.size(); ++n) map[n] = set[n] ? 0.0f : static_cast<float>(kFarSquare);
  std::vector<double> line, out, from;
  std::vector<long> root;
  line_by_line(map, [&](long n, auto at) {
    const auto count = static_cast<std::size_t>(n);
    line.resize(count);
    out.resize(count);
    root.resize(count);
    from.resize(count + 1);
    for (long i = 0; i < n; ++i) line[static_cast<std::size_t>(i)] = static_cast<double>(at(i));
    squared_distances(line, out, root, from);
    for (long i = 0; i < n; ++i) at(i) = static_cast<float>(std::min(out[static_cast<std::size_t>(i)], kFarSquare));
  });
  for (std::size_t n = 0; n < map.size(); ++n) map[n] = static_cast<float>(shape.spacing()) * std::sqrt(map[n]);
  return map;
}

HeightMap least_around(const HeightMap& map, double reach_mm) {
  const long reach = static_cast<long>(std::lround(reach_mm / map.spacing()));
  HeightMap out = map;
  std::vector<float> line;
  line_by_line(out, [&](long n, auto at) {
    line.resize(static_cast<std::size_t>(n));
    for (long i = 0; i < n; ++i) line[static_cast<std::size_t>(i)] = at(i);
    for (long i = 0; i < n; ++i) {
      float least = kNothing;
      for (long k = std::max(0L, i - reach); k < std::min(n, i + reach + 1); ++k) {
        const float v = line[static_cast<std::size_t>(k)];
        if (!(least <= v) && !std::isnan(v)) least = v;
      }
      at(i) = least;
    }
  });
  return out;
}

HeightMap smoothed(const HeightMap& map, double reach_mm) {
  const long reach = std::max(1L, static_cast<long>(std::lround(reach_mm / map.spacing())));
  HeightMap sum = map, weight = map;
  for (std::size_t n = 0; n < map.size(); ++n) {
    const bool known = !std::isnan(map[n]);
    weight[n] = known ? 1.0f : 0.0f;
    sum[n] = known ? map[n] : 0.0f;
  }
  const float share = 1.0f / static_cast<float>((2 * reach + 1) * (2 * reach + 1));
  for (int round = 0; round < 3; ++round) {
    sum_windows(sum, reach);
    sum_windows(weight, reach);
    for (std::size_t n = 0; n < map.size(); ++n) {
      sum[n] *= share;
      weight[n] *= share;
    }
  }
  for (std::size_t n = 0; n < map.size(); ++n) sum[n] = weight[n] > 1e-6f ? sum[n] / weight[n] : kNothing;
  return sum;
}

}  // namespace intercusp
