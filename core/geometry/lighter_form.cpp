#include "geometry/lighter_form.h"

#include <algorithm>
#include <limits>
#include <map>

#include <meshoptimizer.h>

#include "base/parallel.h"

namespace intercusp {
namespace {

Mesh collapsed(const Mesh& mesh, double aim_mm) {
  const float* positions = mesh.positions.front().data();
  const std::size_t corners = 3 * mesh.triangles.size();
  const double extent = static_cast<double>(meshopt_simplifyScale(positions, mesh.positions.size(), sizeof(Vec3f)));
  std::vector<std::uint32_t> kept(corners);
  kept.resize(meshopt_simplify(kept.data(), mesh.triangles.front().data(), corners, positions, mesh.positions.size(),
                               sizeof(Vec3f), 0, static_cast<float>(aim_mm / extent), 0, nullptr));
  Mesh light;
  constexpr std::uint32_t kUnnumbered = 0xFFFFFFFFu;
  std::vector<std::uint32_t> number(mesh.positions.size(), kUnnumbered);
  for (std::size_t i = 0; i < kept.size(); ++i) {
    std::uint32_t& n = number[kept[i]];
    if (n == kUnnumbered) {
      n = static_cast<std::uint32_t>(light.positions.size());
      light.positions.push_back(mesh.positions[kept[i]]);
    }
    if (i % 3 == 0) light.triangles.emplace_back();
    light.triangles.back()[i % 3] = n;
  }
  return light;
}

/// Without pairs of triangles with the same corners the other way round: where a collapse closes a narrow ring of
/// edges, such fins stay behind, without volume.
void drop_fins(Mesh& mesh) {
  const auto sorted = [](Triangle t) {
    std::sort(t.begin(), t.end());
    return t;
  };
  const auto turns_right = [](const Triangle& t) { return (t[0] < t[1]) + (t[1] < t[2]) + (t[2] < t[0]) == 1; };
  std::map<Triangle, std::array<int, 2>> ways;
  for (const Triangle& t : mesh.triangles) ++ways[sorted(t)][turns_right(t)];
  const auto in_fin = [&](const Triangle& t) {
    const std::array<int, 2>& way = ways[sorted(t)];
    return way[0] == way[1];
  };
  mesh.triangles.erase(std::remove_if(mesh.triangles.begin(), mesh.triangles.end(), in_fin), mesh.triangles.end());
}

/// The farthest of `count` points from a surface; points farther than `limit_mm` count as infinitely far.
template <class Point>
double farthest_from(const Surface& surface, std::size_t count, double limit_mm, const Point& point) {
  std::array<double, 2> farthest{0, 0};
  in_halves(count, 1000, [&](std::size_t begin, std::size_t end) {
    double& far = farthest[begin == 0 ? 0 : 1];
    std::uint32_t near = 0;
    for (std::size_t i = begin; i < end; ++i) {
      ClosestPoint closest;
      const bool found = surface.bvh().closest_from(surface.mesh(), point(i), limit_mm, near, closest);
      far = std::max(far, found ? closest.distance_mm : std::numeric_limits<double>::infinity());
      if (found) near = closest.triangle;
    }
  });
  return std::max(farthest[0], farthest[1]);
}

double off(const Surface& body, const Surface& light, double limit_mm) {
  const Mesh &fine = body.mesh(), &coarse = light.mesh();
  const std::vector<std::uint32_t>& used = body.block_vertices();
  const double outer = farthest_from(light, used.size(), limit_mm,
                                     [&](std::size_t i) { return Vec3(fine.positions[used[i]].cast<double>()); });
  const double inner = farthest_from(body, coarse.triangles.size(), limit_mm, [&](std::size_t t) {
    return Vec3((coarse.corner(t, 0) + coarse.corner(t, 1) + coarse.corner(t, 2)) / 3);
  });
  return std::max(outer, inner);
}

}  // namespace

LighterForm lighter_form(const SurfacePtr& body, double aim_mm, double at_most_mm) {
  constexpr int kTries = 4;
  constexpr double kLessNextTime = 0.6;
  if (body->mesh().empty()) return {body, 0};
  for (int i = 0; i < kTries; ++i, aim_mm *= kLessNextTime) {
    Mesh light = collapsed(body->mesh(), aim_mm);
    drop_fins(light);
    if (light.empty()) continue;
    SurfacePtr surface = Surface::make(std::move(light));
    if (surface->closed() != body->closed()) continue;
    const double farthest = off(*body, *surface, at_most_mm);
    if (farthest <= at_most_mm) return {surface, farthest};
  }
  return {body, 0};
}

}  // namespace intercusp
