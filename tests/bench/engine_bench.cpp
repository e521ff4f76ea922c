// The distance engine against Embree 3 and FCL on the same bodies and poses, side by side, one thread each (FCL has no
// more). Prints medians of processor time and their ratios, and for each task the exponent of growth with the number
// of triangles. Embree answers with the closest triangle through its point query and a callback that computes the
// distance, which is how its manual does it; its sign is that of the triangle's normal.
//   engine_bench TRIANGLES...
#include <embree3/rtcore.h>
#include <fcl/fcl.h>

#include <map>
#include <memory>

#include "base/parallel.h"
#include "geometry/close_pairs.h"
#include "geometry/pair_query.h"
#include "geometry/registration.h"
#include "geometry/sweep.h"
#include "geometry/triangle_closest.h"
#include "scenes.h"

using namespace intercusp;
using namespace intercusp::bench;

namespace {

constexpr double kBand = 3.0;
constexpr int kRuns = 9;

/// A mesh in Embree, in its own frame.
class EmbreeMesh {
 public:
  explicit EmbreeMesh(const Mesh& mesh)
      : mesh_(mesh), device_(rtcNewDevice("threads=1")), scene_(rtcNewScene(device_)) {
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

  /// Signed by the triangle's normal; NaN beyond the band.
  double signed_distance(const Vec3& query) const {
    RTCPointQuery q{static_cast<float>(query.x()), static_cast<float>(query.y()), static_cast<float>(query.z()), 0,
                    static_cast<float>(kBand)};
    RTCPointQueryContext context;
    rtcInitPointQueryContext(&context);
    Best best{&mesh_, query, kBand * kBand, kNoTriangle, Vec3::Zero()};
    rtcPointQuery(scene_, &q, &context, nullptr, &best);
    if (best.triangle == kNoTriangle) return std::numeric_limits<double>::quiet_NaN();
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
  static bool try_triangle(RTCPointQueryFunctionArguments* args) {
    Best& best = *static_cast<Best*>(args->userPtr);
    const Mesh& m = *best.mesh;
    const TrianglePoint p = closest_on_triangle(m.corner(args->primID, 0), m.corner(args->primID, 1),
                                                m.corner(args->primID, 2), best.query);
    if (!(p.distance_sq < best.square)) return false;
    best.square = p.distance_sq;
    best.triangle = args->primID;
    best.point = p.point;
    args->query->radius = static_cast<float>(std::sqrt(p.distance_sq));
    return true;
  }

  const Mesh& mesh_;
  RTCDevice device_;
  RTCScene scene_;
};

double embree_map(const EmbreeMesh& of, const Mesh& vertices, const Pose& pose, std::size_t& within) {
  double sum = 0;
  for (const Vec3f& p : vertices.positions) {
    const double d = of.signed_distance(pose * p.cast<double>());
    if (std::isnan(d)) continue;
    sum += d;
    ++within;
  }
  return sum;
}

using FclModel = fcl::BVHModel<fcl::OBBRSSd>;

std::shared_ptr<FclModel> fcl_model(const Mesh& mesh) {
  auto model = std::make_shared<FclModel>();
  std::vector<fcl::Vector3d> points;
  std::vector<fcl::Triangle> triangles;
  for (const Vec3f& p : mesh.positions) points.push_back(p.cast<double>());
  for (const Triangle& t : mesh.triangles) triangles.emplace_back(t[0], t[1], t[2]);
  model->beginModel();
  model->addSubModel(points, triangles);
  model->endModel();
  return model;
}

/// Median per pose over the drag; `first` alone is what a jump costs.
double over_drag(const Scene& s, const std::function<void(const Pose&)>& work) {
  std::vector<double> times;
  for (const Pose& pose : s.drag) {
    const double begin = processor_ms();
    work(pose);
    times.push_back(processor_ms() - begin);
  }
  return median(times);
}

std::map<std::string, std::vector<std::pair<double, double>>> g_growth;

void row(const Scene& s, double triangles, const char* task, double ours, const char* whose, double theirs) {
  if (theirs > 0) {
    std::printf("%-7s %8.0f  %-34s %9.2f ms  %-6s %9.2f ms  ratio %6.2f\n", s.name.c_str(), triangles, task, ours,
                whose, theirs, theirs / ours);
  } else {
    std::printf("%-7s %8.0f  %-34s %9.2f ms\n", s.name.c_str(), triangles, task, ours);
  }
  std::fflush(stdout);
  g_growth[s.name + " " + task].push_back({std::log(triangles), std::log(ours)});
}

void print_growth() {
  for (const auto& entry : g_growth) {
    const auto& points = entry.second;
    if (points.size() < 2) continue;
    double x = 0, y = 0, xx = 0, xy = 0;
    const auto n = static_cast<double>(points.size());
    for (const auto& p : points) {
      x += p.first / n;
      y += p.second / n;
    }
    for (const auto& p : points) {
      xx += (p.first - x) * (p.first - x);
      xy += (p.first - x) * (p.second - y);
    }
    std::printf("growth exponent %5.2f  %s\n", xy / xx, entry.first.c_str());
  }
}

void map_rows(const Scene& s, double n) {
  const EmbreeMesh a(s.first->mesh()), b(s.second->mesh());
  PosedPair pair = make_posed_pair(*s.first, s.first_pose, *s.second, s.drag[0]);
  std::size_t theirs_within = 0, ours_within = 0;
  const double embree = timed(kRuns, [&] {
    theirs_within = 0;
    embree_map(b, s.first->mesh(), pair.other_from_own[0], theirs_within);
    embree_map(a, s.second->mesh(), pair.other_from_own[1], theirs_within);
  });
  const auto both = [&](std::array<VertexGaps, 2>& gaps) {
    for (std::size_t body = 0; body < 2; ++body) find_vertex_gaps(pair, body, kBand, gaps[body]);
  };
  std::array<VertexGaps, 2> kept;
  const double cold = timed(kRuns, [&] {
    std::array<VertexGaps, 2> fresh;
    both(fresh);
    kept = std::move(fresh);
  });
  for (const VertexGaps& g : kept) {
    for (const double d : g.gap_mm) ours_within += !std::isnan(d);
  }
  const double coherent = over_drag(s, [&](const Pose& pose) {
    move_posed_pair(pair, s.first_pose, pose);
    both(kept);
  });
  std::printf("# vertices within the band: %zu, by Embree %zu\n", ours_within, theirs_within);
  row(s, n, "map within 3 mm, cold", cold, "Embree", embree);
  row(s, n, "map within 3 mm, coherent", coherent, "Embree", embree);
  const double theirs = timed(3, [&] { EmbreeMesh again(s.first->mesh()); });
  row(s, n, "structure, one body, one thread", timed(kRuns, [&] { Bvh again(s.first->mesh()); }), "Embree", theirs);
}

void pair_rows(const Scene& s, double n) {
  const auto a = fcl_model(s.first->mesh()), b = fcl_model(s.second->mesh());
  std::size_t ours_found = 0, theirs_found = 0;
  const double collide = over_drag(s, [&](const Pose& pose) {
    fcl::CollisionRequestd request(10000000, true);
    fcl::CollisionResultd result;
    fcl::collide(a.get(), s.first_pose, b.get(), pose, request, result);
    theirs_found = result.numContacts();
  });
  PosedPair pair = make_posed_pair(*s.first, s.first_pose, *s.second, s.drag[0]);
  const auto touching = [&] {
    std::size_t found = 0;
    CloseBlocks close(pair);
    close.visit(0, [&](const BlockPair& blocks) {
      close.triangles(blocks, 0, [&](std::uint32_t i, std::uint32_t j) {
        found += triangles_intersect(pair.corners(0, s.first->bvh().order()[i]),
                                     pair.corners(1, s.second->bvh().order()[j]));
      });
    });
    return found;
  };
  const double ours = over_drag(s, [&](const Pose& pose) {
    move_posed_pair(pair, s.first_pose, pose);
    ours_found = touching();
  });
  std::printf("# intersecting pairs at the last pose: %zu, by FCL %zu\n", ours_found, theirs_found);
  row(s, n, "intersecting pairs", ours, "FCL", collide);

  const Pose away(Eigen::Translation3d(0, 0, s.name == "arches" ? -2 : -12));
  double theirs_mm = 0, ours_mm = 0;
  const double distance = over_drag(s, [&](const Pose& pose) {
    fcl::DistanceRequestd request(true);
    fcl::DistanceResultd result;
    theirs_mm = fcl::distance(a.get(), s.first_pose, b.get(), Pose(away * pose), request, result);
  });
  const double nearest = over_drag(s, [&](const Pose& pose) {
    move_posed_pair(pair, s.first_pose, away * pose);
    ours_mm = nearest_points(pair, any_points(pair)).distance_mm;
  });
  std::printf("# minimum distance at the last pose: %.9f, by FCL %.9f\n", ours_mm, theirs_mm);
  row(s, n, "minimum distance, apart", nearest, "FCL", distance);
}

void frame_rows(const Scene& s, double n) {
  PairQuery query(*s.first, *s.second);
  ContactResult result;
  const double cold = timed(kRuns, [&] { result = find_contact(*s.first, s.first_pose, *s.second, s.drag[0], {}); });
  query.at(s.first_pose, s.drag[0], {});
  const double coherent = over_drag(s, [&](const Pose& pose) { result = query.at(s.first_pose, pose, {}); });
  row(s, n, "whole frame, cold", cold, "", 0);
  row(s, n, "whole frame, coherent", coherent, "", 0);
  Sweep sweep;
  sweep.kind = Sweep::Kind::turn;
  sweep.direction = -Vec3::UnitX();  // closes the jaw
  sweep.through = s.second->box().center() + Vec3(0, 60, 30);
  sweep.limit = 30;
  const Pose open = Pose(Eigen::Translation3d(0, 0, -1)) * sweep.after(-6) * s.drag[0];
  std::optional<FirstContact> contact;
  const double hinge =
      timed(kRuns, [&] { contact = first_contact(*s.first, s.first_pose, *s.second, open, sweep).value(); });
  std::printf("# first contact at %.6f degrees, gap %.6f mm\n", contact ? contact->travel : -1,
              contact ? contact->gap_mm : -1);
  row(s, n, "first contact on a hinge", hinge, "", 0);
  Registration found;
  const Pose off = Pose(Eigen::Translation3d(0.4, 0.3, -0.3)) * Pose(Eigen::AngleAxisd(0.01, Vec3::UnitX()));
  const double icp = timed(3, [&] { found = register_surfaces(*s.first, *s.first, off, {}).value(); });
  std::printf("# registration: %d rounds, rms %.3g mm\n", found.rounds, found.rms_mm);
  row(s, n, "registration", icp, "", 0);
}

}  // namespace

int main(int argc, char** argv) {
  use_one_thread(true);
  for (int i = 1; i < argc; ++i) {
    const auto n = static_cast<std::uint32_t>(std::atoi(argv[i]));
    for (const Scene& s : {arches(n), bones(n)}) {
      map_rows(s, n);
      pair_rows(s, n);
      frame_rows(s, n);
    }
  }
  print_growth();
}
