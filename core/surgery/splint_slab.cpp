#include "surgery/splint_slab.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/parallel.h"

namespace intercusp {
namespace {

constexpr double kCell = 0.4;         ///< of the maps, mm
constexpr double kLookMapCell = 0.6;  ///< likewise where nothing is printed
constexpr double kTipReach = 6;       ///< within which a tip speaks for its surroundings
constexpr double kCrownHeight = 6;    ///< no crown lies farther from the level of the tips
constexpr double kTipMargin = 0.5;    ///< single tips stand out of the smooth level by about this, mm
constexpr double kBlend = 3;          ///< width over which the level passes from tooth to tooth
constexpr double kSpeck = 10;         ///< crowns of less area than this are no teeth, mm^2
constexpr float kUnknown = std::numeric_limits<float>::quiet_NaN();

/// One arch seen from the other: z grows away from the other arch.
struct CrownMap {
  HeightMap tips;            ///< level of the tips around each node
  std::vector<bool> crowns;  ///< within `depth` of it
};

Mesh upside_down(const Mesh& mesh) {
  Mesh out = mesh;
  for (Vec3f& p : out.positions) p.z() = -p.z();
  return out;
}

/// The level that a twentieth of the covered nodes lies below.
std::optional<float> level_of_tips(const HeightMap& heights) {
  std::vector<float> known;
  for (std::size_t n = 0; n < heights.size(); ++n) {
    if (!std::isnan(heights[n])) known.push_back(heights[n]);
  }
  if (known.empty()) return std::nullopt;
  const auto at = known.begin() + static_cast<long>(known.size() / 20);
  std::nth_element(known.begin(), at, known.end());
  return *at;
}

/// Smooth near the crowns and known everywhere.
HeightMap spread(const HeightMap& tips, double most) {
  HeightMap level = smoothed(tips, kBlend);
  for (double reach = 2 * kBlend; reach < 4 * most; reach *= 2) {
    const HeightMap wide = smoothed(tips, reach);
    bool complete = true;
    for (std::size_t n = 0; n < level.size(); ++n) {
      if (std::isnan(level[n])) level[n] = wide[n];
      complete = complete && !std::isnan(level[n]);
    }
    if (complete) break;
  }
  return smoothed(level, 1.5 * kBlend);
}

std::optional<CrownMap> map_crowns(const Mesh& arch, const Box& region, double cell_mm, double depth) {
  HeightMap heights(region, cell_mm, kUnknown);
  heights.lower_to(arch);
  const auto level = level_of_tips(heights);
  if (!level) return std::nullopt;
  const HeightMap least = least_around(heights, kTipReach);
  CrownMap map{heights, std::vector<bool>(heights.size(), false)};
  for (std::size_t n = 0; n < heights.size(); ++n) {
    map.crowns[n] =
        heights[n] < least[n] + static_cast<float>(depth) && heights[n] < *level + static_cast<float>(kCrownHeight);
    map.tips[n] = map.crowns[n] ? least[n] : kUnknown;
  }
  map.tips = spread(map.tips, region.sizes().head<2>().maxCoeff());
  return map;
}

/// Parts of the marked nodes that hang together, the largest first: nodes of each.
std::vector<std::vector<std::size_t>> parts_of(const HeightMap& shape, const std::vector<bool>& marked) {
  std::vector<bool> seen(marked.size(), false);
  std::vector<std::vector<std::size_t>> parts;
  const long columns = shape.columns(), rows = shape.rows();
  for (std::size_t first = 0; first < marked.size(); ++first) {
    if (!marked[first] || seen[first]) continue;
    std::vector<std::size_t> part{first};
    seen[first] = true;
    for (std::size_t k = 0; k < part.size(); ++k) {
      const long i = static_cast<long>(part[k]) % columns, j = static_cast<long>(part[k]) / columns;
      for (const auto& [di, dj] : {std::pair<long, long>{1, 0}, {-1, 0}, {0, 1}, {0, -1}}) {
        if (i + di < 0 || j + dj < 0 || i + di >= columns || j + dj >= rows) continue;
        const auto next = static_cast<std::size_t>((j + dj) * columns + i + di);
        if (!marked[next] || seen[next]) continue;
        seen[next] = true;
        part.push_back(next);
      }
    }
    parts.push_back(std::move(part));
  }
  std::stable_sort(parts.begin(), parts.end(), [](const auto& a, const auto& b) { return a.size() > b.size(); });
  return parts;
}

void drop_specks(const HeightMap& shape, std::vector<bool>& marked) {
  for (const auto& part : parts_of(shape, marked)) {
    if (static_cast<double>(part.size()) * shape.spacing() * shape.spacing() >= kSpeck) continue;
    for (const std::size_t n : part) marked[n] = false;
  }
}

/// Distance to the outline of the marked nodes grown by `rim`, its hollows filled where a ball of `close` does not
/// reach.
HeightMap grown(const HeightMap& shape, const std::vector<bool>& marked, double rim, double close) {
  const HeightMap from_marked = distance_to(shape, marked);
  std::vector<bool> outside(marked.size());
  for (std::size_t n = 0; n < outside.size(); ++n) {
    outside[n] = from_marked[n] > static_cast<float>(rim + close);
  }
  const HeightMap from_outside = distance_to(shape, outside);
  HeightMap out = shape;
  for (std::size_t n = 0; n < out.size(); ++n) {
    out[n] = outside[n] ? from_marked[n] - static_cast<float>(rim) : static_cast<float>(close) - from_outside[n];
  }
  return smoothed(out, shape.spacing());
}

double rounded_corner(double a, double b, double r) {
  const double u = a + r, v = b + r;
  if (u > 0 && v > 0) return std::sqrt(u * u + v * v) - r;
  return std::max(a, b);
}

}  // namespace

Result<SplintSlab> SplintSlab::make(const Mesh& upper, const Mesh& lower, const SplintSettings& settings) {
  SplintSlab slab;
  const Status shaped = slab.shape(upper, lower, settings);
  if (!shaped.ok()) return shaped.error();
  return slab;
}

Status SplintSlab::shape(const Mesh& upper, const Mesh& lower, const SplintSettings& settings) {
  rounding_ = settings.rounding_mm;
  Box region = bounds(upper).merged(bounds(lower));
  const double margin = settings.rim_width_mm + 14;
  region.extend(Vec3(region.min() - Vec3::Constant(margin)));
  region.extend(Vec3(region.max() + Vec3::Constant(margin)));
  std::optional<CrownMap> above, below;
  const double cell = settings.to_print ? kCell : kLookMapCell;
  both([&] { above = map_crowns(upper, region, cell, settings.upper_depth_mm); },
       [&] { below = map_crowns(upside_down(lower), region, cell, settings.lower_depth_mm); });
  if (!above || !below) {
    return Error{std::string("the ") + (above ? "lower" : "upper") + " arch shows no teeth", "", "check the scan"};
  }
  const auto cover = static_cast<float>(settings.least_thickness_mm + settings.clearance_mm + kTipMargin);
  top_ = above->tips;
  bottom_ = below->tips;
  std::vector<bool> crowns(top_.size());
  for (std::size_t n = 0; n < top_.size(); ++n) {
    const float tip_above = above->tips[n], tip_below = -below->tips[n], middle = 0.5f * (tip_above + tip_below);
    // Beyond the tips of its own arch, and so that the tips of the other one, where they reach past, are covered too.
    top_[n] = std::max(std::max(tip_above, middle) + static_cast<float>(settings.upper_depth_mm), tip_below + cover);
    bottom_[n] = std::min(std::min(tip_below, middle) - static_cast<float>(settings.lower_depth_mm), tip_above - cover);
    crowns[n] = above->crowns[n] || below->crowns[n];
  }
  drop_specks(top_, crowns);
  const Status drawn = draw_outline(crowns, settings);
  if (drawn.ok()) find_box();
  return drawn;
}

/// Gaps between teeth are bridged by as little closing as makes one horseshoe.
Status SplintSlab::draw_outline(const std::vector<bool>& crowns, const SplintSettings& settings) {
  std::size_t parts = 0;
  for (const double close : {4.0, 6.0, 8.0, 11.0}) {
    outline_ = grown(top_, crowns, settings.rim_width_mm, close);
    std::vector<bool> inside(outline_.size());
    for (std::size_t n = 0; n < inside.size(); ++n) inside[n] = outline_[n] < 0;
    const auto found = parts_of(outline_, inside);
    parts = found.size();
    if (parts == 1) return Done{};
  }
  return Error{"the teeth leave gaps too wide to bridge: the splint would be in " + std::to_string(parts) + " parts",
               "", "widen the rim, or close the gaps in the scans"};
}

void SplintSlab::find_box() {
  box_.setEmpty();
  double count = 0;
  for (std::size_t n = 0; n < outline_.size(); ++n) {
    if (outline_[n] >= 0) continue;
    const Eigen::Vector2d at = outline_.place(n);
    middle_.head<2>() += at;
    ++count;
    box_.extend(Vec3(at.x(), at.y(), static_cast<double>(top_[n])));
    box_.extend(Vec3(at.x(), at.y(), static_cast<double>(bottom_[n])));
  }
  middle_ /= std::max(count, 1.0);
}

double SplintSlab::value(const Vec3& p) const {
  const HeightMap::Spot at = outline_.spot(p.x(), p.y());  // all three are of one grid
  const double beside = outline_.between(at);
  const double over = std::max(p.z() - top_.between(at), bottom_.between(at) - p.z());
  return rounded_corner(beside, over, rounding_);
}

}  // namespace intercusp
