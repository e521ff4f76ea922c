#include "geometry/cut.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "geometry/cut_check.h"
#include "geometry/cut_levels.h"
#include "geometry/cut_lid.h"

namespace intercusp {
namespace {

constexpr double kShiftStep = 1e-4;  ///< mm
constexpr double kClear = 2e-4;      ///< a vertex this far from the saw's side makes no thin triangles, mm
constexpr std::size_t kMostTries = 20;
constexpr double kThinnestSaw = 0.01;  ///< a thinner one counts as none, mm

/// Places to lay a side of the saw, best first: where it stands if no vertex is near, else where the nearest is
/// farthest away.
std::vector<double> places_for(const std::vector<double>& values, double level) {
  std::vector<double> near;
  for (const double v : values) {
    if (std::abs(v - level) <= kMostShift + kClear) near.push_back(v);
  }
  std::sort(near.begin(), near.end());
  struct Place {
    double at, clear;
  };
  std::vector<Place> places;
  const int steps = static_cast<int>(std::lround(kMostShift / kShiftStep));
  for (int i = 0; i <= 2 * steps; ++i) {
    const double at = level + kShiftStep * (i % 2 == 1 ? (i + 1) / 2 : -i / 2);
    double clear = kClear;
    const auto next = std::lower_bound(near.begin(), near.end(), at);
    if (next != near.end()) clear = std::min(clear, *next - at);
    if (next != near.begin()) clear = std::min(clear, at - *std::prev(next));
    if (clear > 0) places.push_back({at, clear});
  }
  std::stable_sort(places.begin(), places.end(), [](const Place& a, const Place& b) { return a.clear > b.clear; });
  std::vector<double> out;
  for (std::size_t i = 0; i < std::min(kMostTries, places.size()); ++i) out.push_back(places[i].at);
  return out;
}

LevelMesh turned(const LevelMesh& levels) {
  LevelMesh other = levels;
  for (double& v : other.value) v = -v;
  return other;
}

bool closed_soundly(Clipped& part, const CutSurface& surface, double level, const Mesh& whole) {
  return add_lids(part, surface, level, whole) && !new_triangles_cross(part.mesh, part.first_new);
}

/// Without the vertices that joining left unused.
Mesh compact(Mesh mesh, std::uint32_t first_new) {
  std::vector<bool> used(mesh.positions.size(), false);
  for (const Triangle& t : mesh.triangles) {
    for (const std::uint32_t v : t) used[v] = true;
  }
  std::vector<std::uint32_t> number(mesh.positions.size());
  std::uint32_t next = first_new;
  for (std::uint32_t v = 0; v < mesh.positions.size(); ++v) {
    number[v] = v < first_new ? v : next;
    if (v < first_new || !used[v]) continue;
    mesh.positions[next] = mesh.positions[v];
    if (!mesh.colours.empty()) mesh.colours[next] = mesh.colours[v];
    ++next;
  }
  if (next == mesh.positions.size()) return mesh;
  mesh.positions.resize(next);
  if (!mesh.colours.empty()) mesh.colours.resize(next);
  for (Triangle& t : mesh.triangles) t = {number[t[0]], number[t[1]], number[t[2]]};
  return mesh;
}

Error missed(bool all_positive) {
  return Error{
      std::string("the cut misses the body: all of it lies on ") + (all_positive ? "one" : "the other") + " side of it",
      "", "move the cut"};
}

Error no_lid() {
  return Error{"the cut face cannot be closed: the surface is open there or passes through itself", "",
               "cut where the surface is sound, or mend it first"};
}

/// One side of the cut, closed; empty where it cannot be closed soundly there.
std::optional<Mesh> side_at(const LevelMesh& levels, const CutSurface& surface, double level, bool lids) {
  Clipped part = clip_above(levels, surface, level);
  if (lids && !closed_soundly(part, surface, level, levels.mesh)) return std::nullopt;
  return compact(std::move(part.mesh), part.first_new);
}

Result<CutResult> cut(const Mesh& mesh, const CutSurface& surface, double kerf, bool lids) {
  const double half = kerf > kThinnestSaw ? 0.5 * kerf : 0;
  const LevelMesh levels = make_levels(mesh, surface, half + kMostShift);
  const auto [least, most] = std::minmax_element(levels.value.begin(), levels.value.end());
  if (levels.value.empty() || *most <= half + kMostShift) return missed(false);
  if (*least >= -half - kMostShift) return missed(true);
  const LevelMesh other = turned(levels);
  const CutSurface back = surface.turned();
  for (const double at : places_for(levels.value, half)) {
    std::optional<Mesh> positive = side_at(levels, surface, at, lids);
    if (!positive) continue;
    // Without a saw both sides share their lids; else each finds its own place.
    for (const double from : half == 0 ? std::vector<double>{-at} : places_for(other.value, half)) {
      std::optional<Mesh> negative = side_at(other, back, from, lids);
      if (!negative) continue;
      if (positive->empty() || negative->empty()) return missed(negative->empty());
      return CutResult{std::move(*positive), std::move(*negative), at, -from};
    }
    if (half != 0) break;
  }
  return no_lid();
}

}  // namespace

Result<CutResult> cut_mesh(const Mesh& mesh, const CutSurface& surface, double kerf_mm) {
  return cut(mesh, surface, kerf_mm, true);
}

Result<CutResult> cut_open_mesh(const Mesh& mesh, const CutSurface& surface, double kerf_mm) {
  return cut(mesh, surface, kerf_mm, false);
}

}  // namespace intercusp
