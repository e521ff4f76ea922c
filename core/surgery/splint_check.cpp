#include "surgery/splint_check.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/parallel.h"
#include "geometry/posed_pair.h"
#include "geometry/sweep.h"
#include "geometry/union_find.h"

namespace intercusp {
namespace {

constexpr double kThickest = 6;    ///< thicker than this is only known to be so, mm
constexpr double kOpposite = 0.6;  ///< cosine between walls that face away from each other
constexpr double kLift = 8;        ///< the way on which the arch is brought in, mm
constexpr double kRockLimit = 1;   ///< mm
constexpr double kTurnLimit = 4;   ///< degrees
constexpr std::size_t kThinListed = 12;
constexpr double kThinSlack = 0.005;   ///< mm
constexpr double kSmallestThin = 0.2;  ///< thin places of less area are edges, mm^2

/// Thickness along the inward normal, where the wall behind faces the other way; NaN elsewhere.
void measure_thickness(const Surface& splint, Splint& out) {
  const Mesh& mesh = splint.mesh();
  out.thickness_mm.assign(mesh.positions.size(), std::numeric_limits<float>::quiet_NaN());
  in_halves(mesh.positions.size(), 500, [&](std::size_t begin, std::size_t end) {
    for (std::size_t v = begin; v < end; ++v) {
      if (out.part[v] == SplintPart::outside) continue;
      const Vec3 inward = -splint.normals()[v].cast<double>();
      if (inward.squaredNorm() < 0.5) continue;
      const Vec3 from = mesh.positions[v].cast<double>() + 1e-3 * inward;
      RayHit hit;
      if (!splint.bvh().ray(mesh, from, inward, kThickest, hit)) continue;
      if (splint.scaled_normal(hit.triangle).stableNormalized().dot(inward) < kOpposite) continue;
      out.thickness_mm[v] = static_cast<float>(hit.t + 1e-3);
    }
  });
}

std::vector<double> areas_of_vertices(const Mesh& mesh) {
  std::vector<double> area(mesh.positions.size(), 0);
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    const Vec3 a = mesh.corner(t, 0);
    const double third = (mesh.corner(t, 1) - a).cross(mesh.corner(t, 2) - a).norm() / 6;
    for (const std::uint32_t v : mesh.triangles[t]) area[v] += third;
  }
  return area;
}

/// Thin vertices that hang together make a place.
void list_thin(const SplintSettings& settings, const std::vector<double>& area, Splint& out) {
  const auto thin = [&](std::uint32_t v) {
    return static_cast<double>(out.thickness_mm[v]) < settings.least_thickness_mm - kThinSlack;
  };
  UnionFind places(out.mesh.positions.size());
  for (const Triangle& t : out.mesh.triangles) {
    for (std::size_t k = 0; k < 3; ++k) {
      if (thin(t[k]) && thin(t[(k + 1) % 3])) places.join(t[k], t[(k + 1) % 3]);
    }
  }
  std::vector<ThinPlace> found(out.mesh.positions.size());
  for (std::uint32_t v = 0; v < out.mesh.positions.size(); ++v) {
    if (!thin(v)) continue;
    ThinPlace& place = found[places.find(v)];
    const auto thickness = static_cast<double>(out.thickness_mm[v]);
    if (place.area_mm2 == 0 || thickness < place.thickness_mm) {
      place.thickness_mm = thickness;
      place.at = out.mesh.positions[v].cast<double>();
    }
    place.area_mm2 += area[v];
  }
  for (const ThinPlace& place : found) {
    if (place.area_mm2 >= kSmallestThin) out.thin.push_back(place);
  }
  std::stable_sort(out.thin.begin(), out.thin.end(),
                   [](const ThinPlace& a, const ThinPlace& b) { return a.thickness_mm < b.thickness_mm; });
  if (out.thin.size() > kThinListed) out.thin.resize(kThinListed);
}

/// Area, blocked area and clearance of one imprint; the middle of it.
Vec3 read_imprint(const SeatField& field, SplintPart part, const std::vector<double>& area, const Splint& splint,
                  SplintSeat& seat) {
  std::vector<SeatField::Exact> exact(splint.mesh.positions.size());
  in_halves(exact.size(), 500, [&](std::size_t begin, std::size_t end) {
    for (std::size_t v = begin; v < end; ++v) {
      if (splint.part[v] == part) exact[v] = field.exact(splint.mesh.positions[v].cast<double>());
    }
  });
  Vec3 middle = Vec3::Zero();
  seat.off_least_mm = std::numeric_limits<double>::infinity();
  seat.off_most_mm = 0;
  for (std::size_t v = 0; v < exact.size(); ++v) {
    if (splint.part[v] != part) continue;
    seat.imprint_mm2 += area[v];
    middle += area[v] * splint.mesh.positions[v].cast<double>();
    seat.off_least_mm = std::min(seat.off_least_mm, exact[v].distance_mm);
    if (exact[v].travel_mm > 0) {
      seat.blocked_mm2 += area[v];
    } else {
      seat.off_most_mm = std::max(seat.off_most_mm, exact[v].distance_mm);
    }
  }
  return seat.imprint_mm2 > 0 ? Vec3(middle / seat.imprint_mm2) : middle;
}

/// How far a body goes one way before it touches; the limit if it does not.
double free_travel(const Surface& splint, const Surface& arch, const Sweep& sweep, Vec3* at = nullptr) {
  const auto hit = first_contact(splint, Pose::Identity(), arch, Pose::Identity(), sweep);
  if (!hit.ok()) return 0;
  if (!hit.value()) return sweep.limit;
  if (at) *at = hit.value()->on_first;
  return hit.value()->travel;
}

std::array<double, 2> both_ways(const Surface& splint, const Surface& arch, Sweep sweep) {
  const double one = free_travel(splint, arch, sweep);
  sweep.direction = -sweep.direction;
  return {one, free_travel(splint, arch, sweep)};
}

}  // namespace

void sweep_seat(const Surface& splint, const Surface& arch, const Vec3& off, const Vec3& middle, SplintSeat& seat) {
  const Pose lifted(Eigen::Translation3d(kLift * off));
  const Sweep in{Sweep::Kind::slide, -off, Vec3::Zero(), kLift};
  const auto hit = first_contact(splint, Pose::Identity(), arch, lifted, in);
  seat.seats = hit.ok() && !hit.value();
  if (hit.ok() && hit.value()) {
    seat.stopped_mm = kLift - hit.value()->travel;
    seat.touch = hit.value()->on_first;
    return;
  }
  const PosedPair pair = make_posed_pair(splint, Pose::Identity(), arch, Pose::Identity());
  seat.gap_mm = nearest_points(pair, any_points(pair)).distance_mm;
  seat.beyond_mm = free_travel(splint, arch, {Sweep::Kind::slide, -off, Vec3::Zero(), kRockLimit}, &seat.beyond_at);
  const auto slide = [&](const Vec3& way) {
    return both_ways(splint, arch, {Sweep::Kind::slide, way, Vec3::Zero(), kRockLimit});
  };
  const auto turn = [&](const Vec3& axis) {
    return both_ways(splint, arch, {Sweep::Kind::turn, axis, middle, kTurnLimit});
  };
  seat.rock.left_mm = slide(Vec3::UnitX());
  seat.rock.forward_mm = slide(-Vec3::UnitY());
  seat.rock.pitch_deg = turn(Vec3::UnitX());
  seat.rock.roll_deg = turn(Vec3::UnitY());
  seat.rock.yaw_deg = turn(Vec3::UnitZ());
}

void check_splint(const SplintParts& parts, const SplintSettings& settings, const Progress& progress, Splint& out) {
  const SurfacePtr splint = Surface::make(out.mesh);
  out.volume_mm3 = signed_volume(out.mesh);
  measure_thickness(*splint, out);
  const std::vector<double> area = areas_of_vertices(out.mesh);
  list_thin(settings, area, out);
  out.least_thickness_mm = kThickest;
  for (const float t : out.thickness_mm) {
    if (!std::isnan(t)) out.least_thickness_mm = std::min(out.least_thickness_mm, static_cast<double>(t));
  }
  progress.report(0.9);
  const Vec3 upper = read_imprint(*parts.upper, SplintPart::upper_imprint, area, out, out.upper);
  const Vec3 lower = read_imprint(*parts.lower, SplintPart::lower_imprint, area, out, out.lower);
  if (progress.cancelled()) return;
  in_halves(2, 2, [&](std::size_t begin, std::size_t end) {
    for (std::size_t k = begin; k < end; ++k) {
      const SeatField& field = k == 0 ? *parts.upper : *parts.lower;
      sweep_seat(*splint, field.arch(), field.off(), k == 0 ? upper : lower, k == 0 ? out.upper : out.lower);
    }
  });
  progress.report(1);
}

}  // namespace intercusp
