#include "geometry/height_map.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

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

/// Applies `work(count, at)` to every row, then to every column: at(i) reaches the nodes of that line.
template <class Work>
void line_by_line(HeightMap& map, Work work) {
  for (long j = 0; j < map.rows(); ++j) {
    work(map.columns(), [&, j](long i) -> float& { return map.at(i, j); });
  }
  for (long i = 0; i < map.columns(); ++i) {
    work(map.rows(), [&, i](long j) -> float& { return map.at(i, j); });
  }
}

/// The nodes that a window of `reach` to either side of node `i` takes, of `count`: from first to before second.
std::pair<long, long> window(long i, long reach, long count) {
  return {std::max(0L, i - reach), std::min(count, i + reach + 1)};
}

void sum_along_rows(HeightMap& map, long reach) {
  std::vector<double> upto(static_cast<std::size_t>(map.columns()) + 1, 0);
  for (long j = 0; j < map.rows(); ++j) {
    float* row = &map.at(0, j);
    for (std::size_t i = 0; i + 1 < upto.size(); ++i) upto[i + 1] = upto[i] + static_cast<double>(row[i]);
    for (long i = 0; i < map.columns(); ++i) {
      const auto [from, to] = window(i, reach, map.columns());
      row[i] = static_cast<float>(upto[static_cast<std::size_t>(to)] - upto[static_cast<std::size_t>(from)]);
    }
  }
}

/// Whole rows at a time: side by side in memory.
void sum_along_columns(HeightMap& map, long reach) {
  const auto columns = static_cast<std::size_t>(map.columns());
  std::vector<double> upto(map.size() + columns, 0);
  for (std::size_t n = 0; n < map.size(); ++n) upto[n + columns] = upto[n] + static_cast<double>(map[n]);
  for (long j = 0; j < map.rows(); ++j) {
    const auto [first, last] = window(j, reach, map.rows());
    const double *from = &upto[static_cast<std::size_t>(first) * columns],
                 *to = upto.data() + static_cast<std::size_t>(last) * columns;
    float* row = &map.at(0, j);
    for (std::size_t i = 0; i < columns; ++i) row[i] = static_cast<float>(to[i] - from[i]);
  }
}

/// Sums over a window of `reach` to either side along both axes.
void sum_windows(HeightMap& map, long reach) {
  sum_along_rows(map, reach);
  sum_along_columns(map, reach);
}

}  // namespace

HeightMap::HeightMap(const Box& region, double spacing_mm, float value)
    : low_(region.min().head<2>()), spacing_(spacing_mm) {
  const Vec3 size = region.sizes();
  columns_ = std::max(2L, static_cast<long>(std::ceil(size.x() / spacing_mm)) + 1);
  rows_ = std::max(2L, static_cast<long>(std::ceil(size.y() / spacing_mm)) + 1);
  value_.assign(static_cast<std::size_t>(columns_ * rows_), value);
}

HeightMap::Spot HeightMap::spot(double x, double y) const {
  const double u = std::clamp((x - low_.x()) / spacing_, 0.0, static_cast<double>(columns_ - 1) - 1e-9);
  const double v = std::clamp((y - low_.y()) / spacing_, 0.0, static_cast<double>(rows_ - 1) - 1e-9);
  const long i = static_cast<long>(u), j = static_cast<long>(v);
  return {static_cast<std::size_t>(j * columns_ + i), u - static_cast<double>(i), v - static_cast<double>(j)};
}

double HeightMap::between(const Spot& at) const {
  const auto value = [&](std::size_t n) { return static_cast<double>(value_[n]); };
  const std::size_t next = at.first + static_cast<std::size_t>(columns_);
  const double near = (1 - at.s) * value(at.first) + at.s * value(at.first + 1);
  const double far = (1 - at.s) * value(next) + at.s * value(next + 1);
  return (1 - at.t) * near + at.t * far;
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
  line_by_line(map, [](long n, auto at) {
    const auto count = static_cast<std::size_t>(n);
    std::vector<double> line(count), out(count), from(count + 1);
    std::vector<long> root(count);
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
  line_by_line(out, [reach](long n, auto at) {
    std::vector<std::pair<long, float>> rising;  // what may be the least of a window yet: places and values both rise
    std::size_t first = 0;
    for (long i = 0, k = 0; i < n; ++i) {
      for (; k < std::min(n, i + reach + 1); ++k) {
        const float v = at(k);
        if (std::isnan(v)) continue;
        while (rising.size() > first && rising.back().second >= v) rising.pop_back();
        rising.emplace_back(k, v);
      }
      while (first < rising.size() && rising[first].first < i - reach) ++first;
      at(i) = first < rising.size() ? rising[first].second : kNothing;
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
