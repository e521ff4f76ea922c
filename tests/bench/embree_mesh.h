// Embree 3 as its manual uses it for closest points: a point query with a callback that computes the distance of the
// triangle and shrinks the radius. The sign is that of the triangle's normal.
#pragma once

#include <embree3/rtcore.h>

#include <limits>
#include <string>

#include "base/parallel.h"
#include "geometry/topology.h"
#include "geometry/triangle_closest.h"

namespace intercusp::bench {

/// A mesh in Embree, in its own frame.
class EmbreeMesh {
 public:
  EmbreeMesh(const Mesh& mesh, int threads)
      : mesh_(mesh),
        device_(rtcNewDevice(("threads=" + std::to_string(threads)).c_str())),
        scene_(rtcNewScene(device_)) {
    RTCGeometry geometry = rtcNewGeometry(device_, RTC_GEOMETRY_TYPE_TRIANGLE);
    auto* points = static_cast<float*>(
        rtcSetNewGeometryBuffer(geometry, RTC_BUFFER_TYPE_VERTEX, 0, RTC_FORMAT_FLOAT3, 12, mesh.positions.size()));
    auto* triangles = static_cast<std::uint32_t*>(
        rtcSetNewGeometryBuffer(geometry, RTC_BUFFER_TYPE_INDEX, 0, RTC_FORMAT_UINT3, 12, mesh.triangles.size()));
    std::copy(mesh.positions[0].data(), mesh.positions[0].data() + 3 * mesh.positions.size(), points);
    std::copy(mesh.triangles[0].data(), mesh.triangles[0].data() + 3 * mesh.triangles.size(), triangles);
    rtcSetGeometryPointQueryFunction(geometry, &EmbreeMesh::try_triangle);
    rtcCommitGeometry(geometry);
    rtcAttachGeometry(scene_, geometry);
    rtcReleaseGeometry(geometry);
    rtcCommitScene(scene_);
  }
  ~EmbreeMesh() {
    rtcReleaseScene(scene_);
    rtcReleaseDevice(device_);
  }
  EmbreeMesh(const EmbreeMesh&) = delete;
  EmbreeMesh& operator=(const EmbreeMesh&) = delete;

  /// Signed by the triangle's normal; NaN beyond the band. `last` is the nearest triangle of the query before, from
  /// whose distance the search starts where that is shorter than the band: it saves Embree a third.
  double signed_distance(const Vec3& query, double band_mm, std::uint32_t& last) const {
    Best best{&mesh_, query, band_mm * band_mm, kNoTriangle, Vec3::Zero()};
    if (last != kNoTriangle) offer(best, last);
    RTCPointQuery q{static_cast<float>(query.x()), static_cast<float>(query.y()), static_cast<float>(query.z()), 0,
                    static_cast<float>(std::sqrt(best.square))};
    RTCPointQueryContext context;
    rtcInitPointQueryContext(&context);
    rtcPointQuery(scene_, &q, &context, nullptr, &best);
    if (best.triangle == kNoTriangle) return std::numeric_limits<double>::quiet_NaN();
    last = best.triangle;
    const Vec3 a = mesh_.corner(best.triangle, 0);
    const Vec3 n = (mesh_.corner(best.triangle, 1) - a).cross(mesh_.corner(best.triangle, 2) - a);
    return n.dot(query - best.point) < 0 ? -std::sqrt(best.square) : std::sqrt(best.square);
  }

 private:
  struct Best {
    const Mesh* mesh;
    Vec3 query;
    double square;
    std::uint32_t triangle;
    Vec3 point;
  };
  static bool offer(Best& best, std::uint32_t triangle) {
    const Mesh& m = *best.mesh;
    const TrianglePoint p =
        closest_on_triangle(m.corner(triangle, 0), m.corner(triangle, 1), m.corner(triangle, 2), best.query);
    if (!(p.distance_sq < best.square)) return false;
    best.square = p.distance_sq;
    best.triangle = triangle;
    best.point = p.point;
    return true;
  }
  static bool try_triangle(RTCPointQueryFunctionArguments* args) {
    Best& best = *static_cast<Best*>(args->userPtr);
    if (!offer(best, args->primID)) return false;
    args->query->radius = static_cast<float>(std::sqrt(best.square));
    return true;
  }

  const Mesh& mesh_;
  RTCDevice device_;
  RTCScene scene_;
};

/// Signed distances of all vertices, on two threads where the program has two; how many lie within the band.
inline std::size_t embree_map(const EmbreeMesh& of, const Mesh& vertices, const Pose& pose, double band_mm,
                              std::vector<double>& out) {
  out.resize(vertices.positions.size());
  in_halves(out.size(), 1000, [&](std::size_t from, std::size_t to) {
    std::uint32_t last = kNoTriangle;
    for (std::size_t i = from; i < to; ++i) {
      out[i] = of.signed_distance(pose * vertices.positions[i].cast<double>(), band_mm, last);
    }
  });
  return static_cast<std::size_t>(std::count_if(out.begin(), out.end(), [](double d) { return !std::isnan(d); }));
}

}  // namespace intercusp::bench
