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
constexpr double kCovering = 0.7;  ///< cosine to the upright within which a wall covers the tips
constexpr double kLift = 8;        ///< the way on which the arch is brought in, mm
constexpr double kRockLimit = 1;   ///< mm
constexpr double kTurnLimit = 4;   ///< degrees
constexpr std::size_t kThinListed = 12;
constexpr double kThinSlack = 0.005;  ///< mm

/// Whether a triangle belongs to one imprint.
bool lies_in(const Splint& splint, std::uint32_t triangle, SplintPart part) {
  const Triangle& t = splint.mesh.triangles[triangle];
  return (splint.part[t[0]] == part) + (splint.part[t[1]] == part) + (splint.part[t[2]] == part) >= 2;
}

/// What thickness is known of besides the walls.
struct Thicknesses {
  std::vector<float> fins;      ///< a vertex; their other side is of the same imprint
  std::vector<ThinSide> sides;  ///< a vertex of an imprint: what its wall lies against
};

Vec3 normal_of(const Mesh& mesh, std::uint32_t triangle) {
  const Vec3 a = mesh.corner(triangle, 0);
  return (mesh.corner(triangle, 1) - a).cross(mesh.corner(triangle, 2) - a).stableNormalized();
}

ThinSide side_behind(const Splint& splint, std::uint32_t behind, const Vec3& inward) {
  if (!lies_in(splint, behind, SplintPart::outside)) return ThinSide::between;
  return std::abs(inward.z()) > kCovering ? ThinSide::cover : ThinSide::wall;
}

/// Thickness along the inward normal, where the wall behind faces the other way; NaN elsewhere.
Thicknesses measure_thickness(const Bvh& bvh, const std::vector<Vec3f>& normals, Splint& out) {
  const Mesh& mesh = out.mesh;
  out.thickness_mm.assign(mesh.positions.size(), std::numeric_limits<float>::quiet_NaN());
  out.shown_mm = out.thickness_mm;
  Thicknesses found{out.thickness_mm, std::vector<ThinSide>(mesh.positions.size(), ThinSide::between)};
  in_halves(mesh.positions.size(), 500, [&](std::size_t begin, std::size_t end) {
    for (std::size_t v = begin; v < end; ++v) {
      const bool imprint = out.part[v] != SplintPart::outside;
      const Vec3 inward = -normals[v].cast<double>();
      if (inward.squaredNorm() < 0.5) continue;
      const Vec3 from = mesh.positions[v].cast<double>() + 1e-3 * inward;
      RayHit hit;
      out.shown_mm[v] = static_cast<float>(kThickest);
      if (!bvh.ray(mesh, from, inward, kThickest, hit)) continue;
      out.shown_mm[v] = static_cast<float>(hit.t + 1e-3);
      if (normal_of(mesh, hit.triangle).dot(inward) < kOpposite) continue;
      const bool fin = imprint && lies_in(out, hit.triangle, out.part[v]);
      if (fin) out.shown_mm[v] = std::numeric_limits<float>::quiet_NaN();
      if (!imprint) continue;
      (fin ? found.fins : out.thickness_mm)[v] = static_cast<float>(hit.t + 1e-3);
      found.sides[v] = side_behind(out, hit.triangle, inward);
    }
  });
  return found;
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

/// Thin vertices of imprints that hang together make a place; thinnest first.
std::vector<ThinPlace> thin_places(const Splint& splint, const std::vector<float>& thickness_mm, double least_mm,
                                   const std::vector<double>& area, const std::vector<ThinSide>& sides) {
  const Mesh& mesh = splint.mesh;
  const auto thin = [&](std::uint32_t v) {
    return splint.part[v] != SplintPart::outside && static_cast<double>(thickness_mm[v]) < least_mm - kThinSlack;
  };
  UnionFind places(mesh.positions.size());
  for (const Triangle& t : mesh.triangles) {
    for (std::size_t k = 0; k < 3; ++k) {
      if (thin(t[k]) && thin(t[(k + 1) % 3])) places.join(t[k], t[(k + 1) % 3]);
    }
  }
  std::vector<ThinPlace> found(mesh.positions.size());
  for (std::uint32_t v = 0; v < mesh.positions.size(); ++v) {
    if (!thin(v)) continue;
    ThinPlace& place = found[places.find(v)];
    const auto thickness = static_cast<double>(thickness_mm[v]);
    if (place.area_mm2 == 0 || thickness < place.thickness_mm) {
      place.thickness_mm = thickness;
      place.at = mesh.positions[v].cast<double>();
      place.side = sides[v];
      place.over_upper = splint.part[v] == SplintPart::upper_imprint;
    }
    place.area_mm2 += area[v];
  }
  const auto edge = [](const ThinPlace& place) { return place.area_mm2 < kSmallestThinMm2; };
  found.erase(std::remove_if(found.begin(), found.end(), edge), found.end());
  std::stable_sort(found.begin(), found.end(),
                   [](const ThinPlace& a, const ThinPlace& b) { return a.thickness_mm < b.thickness_mm; });
  return found;
}

void list_thin(const SplintSettings& settings, const Thicknesses& found, const std::vector<double>& area, Splint& out) {
  out.thin = thin_places(out, out.thickness_mm, settings.least_thickness_mm, area, found.sides);
  if (out.thin.size() > kThinListed) out.thin.resize(kThinListed);
  const std::vector<ThinPlace> ridges = thin_places(out, found.fins, settings.least_thickness_mm, area, found.sides);
  out.fins.places = ridges.size();
  if (!ridges.empty()) out.fins.thinnest = ridges.front();
}

/// Area, blocked area and clearance of one imprint; the middle of it.
Vec3 read_imprint(const SeatField& field, SplintPart part, const std::vector<double>& area, const Splint& splint,
                  SplintSeat& seat) {
  std::vector<SeatField::Exact> exact(splint.mesh.positions.size());
  in_halves(exact.size(), 500, [&](std::size_t begin, std::size_t end) {
    std::uint32_t last = SeatField::kAnywhere;
    for (std::size_t v = begin; v < end; ++v) {
      if (splint.part[v] == part) exact[v] = field.exact(splint.mesh.positions[v].cast<double>(), &last);
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
      const double off = exact[v].rest_mm - exact[v].distance_mm;
      if (off <= seat.blocked_mm) continue;
      seat.blocked_mm = off;
      seat.blocked_at = splint.mesh.positions[v].cast<double>();
    } else {
      seat.off_most_mm = std::max(seat.off_most_mm, exact[v].distance_mm);
    }
  }
  return seat.imprint_mm2 > 0 ? Vec3(middle / seat.imprint_mm2) : middle;
}

/// An arch in its place, and where it comes nearest to the splint.
struct SeatedArch {
  const Surface &splint, &arch;
  TriangleGap nearest;
};

/// How far a body goes one way before it touches; the limit if it does not.
double free_travel(const SeatedArch& seated, const Sweep& sweep, Vec3* at = nullptr) {
  const auto hit =
      first_contact(seated.splint, Pose::Identity(), seated.arch, Pose::Identity(), sweep, &seated.nearest);
  if (!hit.ok()) return 0;
  if (!hit.value()) return sweep.limit;
  if (at) *at = hit.value()->on_first;
  return hit.value()->travel;
}

std::array<double, 2> both_ways(const SeatedArch& seated, Sweep sweep) {
  const double one = free_travel(seated, sweep);
  sweep.direction = -sweep.direction;
  return {one, free_travel(seated, sweep)};
}

}  // namespace

void sweep_seat(const Surface& splint, const Surface& arch, const Vec3& off, const Vec3& middle, SplintSeat& seat) {
  const Pose lifted(Eigen::Translation3d(kLift * off));
  const Sweep in{Sweep::Kind::slide, -off, Vec3::Zero(), kLift};
  const auto hit = first_contact(splint, Pose::Identity(), arch, lifted, in);
  seat.checked = true;
  seat.seats = hit.ok() && !hit.value();
  if (hit.ok() && hit.value()) {
    seat.stopped_mm = kLift - hit.value()->travel;
    seat.touch = hit.value()->on_first;
    return;
  }
  const PosedPair pair = make_posed_pair(splint, Pose::Identity(), arch, Pose::Identity());
  const SeatedArch seated{splint, arch, nearest_points(pair, any_points(pair))};
  seat.gap_mm = seated.nearest.distance_mm;
  seat.beyond_mm = free_travel(seated, {Sweep::Kind::slide, -off, Vec3::Zero(), kRockLimit}, &seat.beyond_at);
  const auto slide = [&](const Vec3& way) {
    return both_ways(seated, {Sweep::Kind::slide, way, Vec3::Zero(), kRockLimit});
  };
  const auto turn = [&](const Vec3& axis) { return both_ways(seated, {Sweep::Kind::turn, axis, middle, kTurnLimit}); };
  seat.rock.left_mm = slide(Vec3::UnitX());
  seat.rock.forward_mm = slide(-Vec3::UnitY());
  seat.rock.pitch_deg = turn(Vec3::UnitX());
  seat.rock.roll_deg = turn(Vec3::UnitY());
  seat.rock.yaw_deg = turn(Vec3::UnitZ());
}

void check_splint(const SplintParts& parts, const SplintSettings& settings, const Progress& progress, Splint& out) {
  // A look asks for nothing that needs more of a surface than this.
  const SurfacePtr splint = settings.to_print ? Surface::make(out.mesh) : nullptr;
  out.volume_mm3 = signed_volume(out.mesh);
  const Thicknesses found = splint ? measure_thickness(splint->bvh(), splint->normals(), out)
                                   : measure_thickness(Bvh(out.mesh), vertex_normals(out.mesh), out);
  const std::vector<double> area = areas_of_vertices(out.mesh);
  list_thin(settings, found, area, out);
  out.least_thickness_mm = kThickest;
  for (const float t : out.thickness_mm) {
    if (!std::isnan(t)) out.least_thickness_mm = std::min(out.least_thickness_mm, static_cast<double>(t));
  }
  progress.report(0.9);
  if (progress.cancelled() || !settings.to_print) return;
  const Vec3 upper = read_imprint(*parts.upper, SplintPart::upper_imprint, area, out, out.upper);
  const Vec3 lower = read_imprint(*parts.lower, SplintPart::lower_imprint, area, out, out.lower);
  if (progress.cancelled()) return;
  both([&] { sweep_seat(*splint, parts.upper->arch(), parts.upper->off(), upper, out.upper); },
       [&] { sweep_seat(*splint, parts.lower->arch(), parts.lower->off(), lower, out.lower); });
  progress.report(1);
}

}  // namespace intercusp
