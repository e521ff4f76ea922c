#include "geometry/feature_snap.h"

#include <Eigen/Dense>

#include <limits>

#include "geometry/section.h"

namespace intercusp {
namespace {

bool nearest_on_surface(const Surface& surface, const Vec3& start, ClosestPoint& nearest) {
  return surface.bvh().closest(surface.mesh(), start, std::numeric_limits<double>::infinity(), nearest);
}

/// Two unit vectors that make a right-handed frame with `up`.
void across(const Vec3& up, Vec3& e, Vec3& f) {
  e = up.unitOrthogonal();
  f = up.cross(e);
}

class Climb {
 public:
  Climb(const Surface& surface, const Vec3& centre, const Vec3& up, double radius)
      : surface_(surface), centre_(centre), up_(up), radius_(radius) {}

  /// Highest vertex reachable uphill; looks two rings around, so that noise of one vertex is no tip.
  std::uint32_t top_from(std::uint32_t v) const {
    for (;;) {
      std::uint32_t best = v;
      for (const std::uint32_t w : around(v, 2)) {
        const bool higher = height(w) > height(best) || (height(w) == height(best) && w < best);
        if (higher && (point(w) - centre_).norm() <= radius_) best = w;
      }
      if (best == v) return v;
      v = best;
    }
  }

  /// True when a neighbour outside the radius is higher, or the border is at hand: the climb was stopped, not finished.
  bool stopped_at(std::uint32_t v) const {
    for (const std::uint32_t w : around(v, 1)) {
      if (height(w) > height(v) || surface_.topology().border_vertex[w]) return true;
    }
    return false;
  }

  /// Top of the quadric that fits the vertices around best (least squares, six unknowns).
  Vec3 refined(std::uint32_t v) const {
    const std::vector<std::uint32_t> ring = around(v, 2);
    if (ring.size() < 8) return point(v);
    Vec3 e, f;
    across(up_, e, f);
    Eigen::Matrix<double, Eigen::Dynamic, 6> rows(static_cast<Eigen::Index>(ring.size()), 6);
    Eigen::VectorXd heights(static_cast<Eigen::Index>(ring.size()));
    double reach = 0;
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Vec3 d = point(ring[i]) - point(v);
      const double x = e.dot(d), y = f.dot(d);
      rows.row(static_cast<Eigen::Index>(i)) << 1, x, y, x * x, x * y, y * y;
      heights[static_cast<Eigen::Index>(i)] = up_.dot(d);
      reach = std::max(reach, d.norm());
    }
    const Eigen::Matrix<double, 6, 1> c = rows.colPivHouseholderQr().solve(heights);
    const double det = 4 * c[3] * c[5] - c[4] * c[4];
    if (!(det > 0) || !(c[3] < 0)) return point(v);
    const double x = (c[4] * c[2] - 2 * c[5] * c[1]) / det, y = (c[4] * c[1] - 2 * c[3] * c[2]) / det;
    if (!(x * x + y * y <= 0.25 * reach * reach)) return point(v);
    const double z = c[0] + 0.5 * (c[1] * x + c[2] * y);
    return on_surface_below(point(v) + x * e + y * f, z, v);
  }

  Vec3 point(std::uint32_t v) const { return surface_.mesh().positions[v].cast<double>(); }

 private:
  double height(std::uint32_t v) const { return up_.dot(point(v)); }

  /// The surface itself at the place of the quadric's top; the vertex where the surface is not met.
  Vec3 on_surface_below(const Vec3& place, double z, std::uint32_t v) const {
    const double above = std::max(z, 0.0) + radius_;
    RayHit hit;
    const Vec3 origin = place + above * up_;
    if (!surface_.bvh().ray(surface_.mesh(), origin, -up_, 2 * above, hit)) return point(v);
    return origin - hit.t * up_;
  }

  std::vector<std::uint32_t> around(std::uint32_t v, int rings) const {
    const Topology& topology = surface_.topology();
    std::vector<std::uint32_t> found{v};
    std::size_t begin = 0;
    for (int ring = 0; ring < rings; ++ring) {
      const std::size_t end = found.size();
      for (; begin < end; ++begin) {
        const std::uint32_t from = found[begin];
        for (std::uint32_t i = topology.around_begin[from]; i < topology.around_begin[from + 1]; ++i) {
          for (const std::uint32_t w : surface_.mesh().triangles[topology.around[i]]) {
            if (std::find(found.begin(), found.end(), w) == found.end()) found.push_back(w);
          }
        }
      }
    }
    return found;
  }

  const Surface& surface_;
  const Vec3 centre_, up_;
  const double radius_;
};

}  // namespace

Snapped snap_to_tip(const Surface& surface, const Vec3& start, const Vec3& up, double radius_mm) {
  ClosestPoint nearest;
  if (!nearest_on_surface(surface, start, nearest)) return {start, false};
  const Climb climb(surface, nearest.point, up.normalized(), radius_mm);
  std::uint32_t from = surface.mesh().triangles[nearest.triangle][0];
  for (const std::uint32_t v : surface.mesh().triangles[nearest.triangle]) {
    if (up.dot(climb.point(v)) > up.dot(climb.point(from))) from = v;
  }
  const std::uint32_t top = climb.top_from(from);
  if ((climb.point(top) - nearest.point).norm() > radius_mm || climb.stopped_at(top)) return {nearest.point, false};
  return {climb.refined(top), true};
}

Snapped snap_to_ridge(const Surface& surface, const Vec3& start, const Vec3& up, const Vec3& along, double radius_mm) {
  ClosestPoint nearest;
  if (!nearest_on_surface(surface, start, nearest)) return {start, false};
  Snapped best{nearest.point, false};
  bool at_rim = false;
  for (const Polyline& line : section(surface, Pose::Identity(), nearest.point, along)) {
    for (const Vec3& p : line.points) {
      const double away = (p - nearest.point).norm();
      if (away > radius_mm || !(up.dot(p) > up.dot(best.point))) continue;
      best = {p, true};
      at_rim = away > 0.95 * radius_mm;
    }
  }
  return at_rim ? Snapped{nearest.point, false} : best;
}

}  // namespace intercusp
