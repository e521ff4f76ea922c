#include "geometry/cut.h"

#include <algorithm>
#include <cmath>

#include "geometry/cut_check.h"
#include "geometry/cut_levels.h"
#include "geometry/cut_lid.h"

namespace intercusp {
namespace {

constexpr double kShiftStep = 1e-4;  ///< mm
constexpr double kClear = 2e-4;      ///< a vertex this far from the saw's side makes no thin triangles, mm
constexpr std::size_t kMostTries = 10;

/// Places to lay the saw, best first: where it stands if no vertex is near, else where the nearest is farthest away.
std::vector<double> shifts(const std::vector<double>& values, double kerf) {
  const double reach = kMostShift + 2 * kClear;
  std::vector<double> near;  // from the side of the saw they are next to
  for (const double v : values) {
    for (const double side : {0.5 * kerf, -0.5 * kerf}) {
      if (std::abs(v - side) <= reach) near.push_back(v - side);
    }
  }
  std::sort(near.begin(), near.end());
  struct Place {
    double shift, clear;
  };
  std::vector<Place> places;
  const int steps = static_cast<int>(std::lround(kMostShift / kShiftStep));
  for (int i = 0; i <= 2 * steps; ++i) {
    const double shift = kShiftStep * (i % 2 == 1 ? (i + 1) / 2 : -i / 2);
    double clear = kClear;
    const auto next = std::lower_bound(near.begin(), near.end(), shift);
    if (next != near.end()) clear = std::min(clear, *next - shift);
    if (next != near.begin()) clear = std::min(clear, shift - *std::prev(next));
    places.push_back({shift, clear});
  }
  std::stable_sort(places.begin(), places.end(), [](const Place& a, const Place& b) { return a.clear > b.clear; });
  std::vector<double> out;
  for (std::size_t i = 0; i < std::min(kMostTries, places.size()); ++i) {
    if (places[i].clear > 0) out.push_back(places[i].shift);
  }
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

Result<CutResult> cut(const Mesh& mesh, const CutSurface& surface, double kerf, bool lids) {
  const LevelMesh levels = make_levels(mesh, surface, 0.5 * kerf + kMostShift);
  const auto [least, most] = std::minmax_element(levels.value.begin(), levels.value.end());
  if (levels.value.empty() || *most <= 0.5 * kerf + kMostShift) return missed(false);
  if (*least >= -0.5 * kerf - kMostShift) return missed(true);
  const LevelMesh other = turned(levels);
  const CutSurface back = surface.turned();
  for (const double shift : shifts(levels.value, kerf)) {
    Clipped up = clip_above(levels, surface, 0.5 * kerf + shift);
    Clipped down = clip_above(other, back, 0.5 * kerf - shift);
    if (lids && !(closed_soundly(up, surface, 0.5 * kerf + shift, levels.mesh) &&
                  closed_soundly(down, back, 0.5 * kerf - shift, levels.mesh))) {
      continue;
    }
    if (up.mesh.empty()) return missed(false);
    if (down.mesh.empty()) return missed(true);
    return CutResult{compact(std::move(up.mesh), up.first_new), compact(std::move(down.mesh), down.first_new), shift};
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
