// The clearance of a splint by CGAL alone: from the enamel, by distances and rays of another library.
#pragma once

#include <CGAL/AABB_face_graph_triangle_primitive.h>
#include <CGAL/AABB_traits.h>
#include <CGAL/AABB_tree.h>
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Surface_mesh.h>

#include <cmath>
#include <memory>
#include <utility>

#include "surgery/splint.h"

namespace intercusp::outside {

using RoomKernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using RoomPolygons = CGAL::Surface_mesh<RoomKernel::Point_3>;
using RoomTree = CGAL::AABB_tree<CGAL::AABB_traits<RoomKernel, CGAL::AABB_face_graph_triangle_primitive<RoomPolygons>>>;

/// A mesh that CGAL answers for. Triangles that it refuses (faulty scans) are left out.
struct AskedMesh {
  explicit AskedMesh(const Mesh& mesh) {
    for (const Vec3f& p : mesh.positions) polygons.add_vertex({p.x(), p.y(), p.z()});
    using Vertex = RoomPolygons::Vertex_index;
    for (const Triangle& t : mesh.triangles) polygons.add_face(Vertex(t[0]), Vertex(t[1]), Vertex(t[2]));
    tree = std::make_unique<RoomTree>(faces(polygons).first, faces(polygons).second, polygons);
    tree->accelerate_distance_queries();
  }
  static RoomKernel::Point_3 point(const Vec3& p) { return {p.x(), p.y(), p.z()}; }
  double distance(const Vec3& p) const { return std::sqrt(CGAL::to_double(tree->squared_distance(point(p)))); }
  /// Distance, and the number of the nearest triangle.
  std::pair<double, std::size_t> nearest(const Vec3& p) const {
    const auto [at, face] = tree->closest_point_and_primitive(point(p));
    return {std::sqrt(CGAL::to_double(CGAL::squared_distance(at, point(p)))), static_cast<std::size_t>(face)};
  }
  bool meets(const Vec3& from, const Vec3& to) const {
    return tree->do_intersect(RoomKernel::Segment_3(point(from), point(to)));
  }
  RoomPolygons polygons;
  std::unique_ptr<RoomTree> tree;
};

/// How the clearance of a splint is at the enamel of one arch.
struct RoomFound {
  std::size_t asked = 0;     ///< points of the enamel where the clearance can and must be the one set
  std::size_t too_wide = 0;  ///< of them over an imprint, where it is more by over 0.02 mm
  std::size_t at_rim = 0;    ///< of them not over an imprint or at its edge, where it is more by over 0.02 mm
  double least_mm = 1e9;     ///< of all points of the enamel
  double most_mm = 0;        ///< of those asked
};

/// Whether the splint goes on all around a point of the enamel and is more than a film behind it: not at the edge of
/// the imprint, which the grid breaks.
inline bool imprint_around(const AskedMesh& splint, const Vec3& p, const Vec3& normal) {
  constexpr double kBroken = 0.6;
  if (splint.meets(p + 0.4 * normal, p + 0.9 * normal)) return false;
  const Vec3 one = normal.unitOrthogonal(), two = normal.cross(one);
  for (int k = 0; k < 8; ++k) {
    const double angle = k * std::acos(-1.0) / 4;
    const Vec3 beside = p + kBroken * (std::cos(angle) * one + std::sin(angle) * two);
    if (!splint.meets(beside - 0.3 * normal, beside + 0.4 * normal)) return false;
  }
  return true;
}

/// A splint, as it says it is and as CGAL has it.
struct AskedSplint {
  const Splint& made;
  AskedMesh solid;
};

/// Whether the imprint ends within a step of the grid from a point.
inline bool off_imprint(const Splint& splint, SplintPart part, const Vec3& p) {
  constexpr double kStep = 0.3;
  for (std::size_t v = 0; v < splint.part.size(); ++v)
    if (splint.part[v] != part && (splint.mesh.positions[v].cast<double>() - p).norm() < kStep) return true;
  return false;
}

/// Asks at every `every`-th triangle's middle. A point counts where a ball of the clearance lies on the enamel and on
/// its way in meets neither this arch (else an undercut is blocked out, or a fissure is narrower than the clearance
/// allows) nor the other, and where the splint
/// is beyond it and around.
inline RoomFound room_at_enamel(const AskedSplint& splint, SplintPart of_arch, const Mesh& arch_mesh,
                                const AskedMesh& arch, const AskedMesh& other, double clearance, std::size_t every) {
  constexpr double kSlack = 0.004, kOnTheWay = 0.05, kWay = 6;
  const Vec3& off = (of_arch == SplintPart::upper_imprint ? splint.made.upper : splint.made.lower).off;
  const std::vector<SplintPart>& part = splint.made.part;
  RoomFound found;
  for (std::size_t t = 0; t < arch_mesh.triangles.size(); t += every) {
    const Vec3 a = arch_mesh.corner(t, 0), b = arch_mesh.corner(t, 1), c = arch_mesh.corner(t, 2);
    const Vec3 p = (a + b + c) / 3, normal = (b - a).cross(c - a).stableNormalized();
    if (!splint.solid.meets(p, p + 0.3 * normal)) continue;
    const auto [gap, face] = splint.solid.nearest(p);
    found.least_mm = std::min(found.least_mm, gap);
    const Vec3 ball = p + clearance * normal;
    bool free = normal.dot(off) < -0.05 && imprint_around(splint.solid, p, normal) &&
                arch.distance(ball) > clearance - kSlack &&
                other.distance(ball) > clearance + 0.4;  // less than 0.4 mm between the arches is left open
    for (double way = kOnTheWay; free && way < kWay; way += kOnTheWay)
      free = arch.distance(ball - way * off) > clearance - kSlack;
    if (!free) continue;
    ++found.asked;
    const bool wide = gap > clearance + 0.02;
    const Triangle& k = splint.made.mesh.triangles[face];
    if (part[k[0]] != of_arch || part[k[1]] != of_arch || part[k[2]] != of_arch) {
      found.at_rim += wide;
      continue;
    }
    if (wide && off_imprint(splint.made, of_arch, p)) {
      ++found.at_rim;
      continue;
    }
    found.most_mm = std::max(found.most_mm, gap);
    found.too_wide += wide;
  }
  return found;
}

}  // namespace intercusp::outside
