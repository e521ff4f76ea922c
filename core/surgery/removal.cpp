#include "surgery/removal.h"

#include <algorithm>
#include <cmath>

#include "geometry/cut.h"
#include "geometry/level_mesh.h"
#include "geometry/signed_distance.h"

namespace intercusp {
namespace {

/// Everything within the box.
CutSurface within(const Box& box) {
  CutSurface all = CutSurface::plane(box.min(), Vec3::UnitX());
  for (int axis = 0; axis < 3; ++axis) {
    const Vec3 along = Vec3::Unit(axis);
    if (axis > 0) all = CutSurface::both(all, CutSurface::plane(box.min(), along));
    all = CutSurface::both(all, CutSurface::plane(box.max(), -along));
  }
  return all;
}

/// The boxes in the frame of the surface, grown, and joined where they meet.
std::vector<Box> zones_of(const std::vector<Box>& zones, const Pose& own_from_patient, double more) {
  std::vector<Box> out;
  for (const Box& zone : zones) {
    if (zone.isEmpty()) continue;
    Box own;
    for (int corner = 0; corner < 8; ++corner) {
      own.extend(own_from_patient * zone.corner(static_cast<Box::CornerType>(corner)));
    }
    out.emplace_back(own.min() - Vec3::Constant(more), own.max() + Vec3::Constant(more));
  }
  for (bool joined = true; joined;) {
    joined = false;
    for (std::size_t i = 0; i < out.size() && !joined; ++i) {
      for (std::size_t k = i + 1; k < out.size() && !joined; ++k) {
        if (!out[i].intersects(out[k])) continue;
        out[i].extend(out[k]);
        out.erase(out.begin() + static_cast<std::ptrdiff_t>(k));
        joined = true;
      }
    }
  }
  return out;
}

void append(Mesh& mesh, const Mesh& more) {
  const auto base = static_cast<std::uint32_t>(mesh.positions.size());
  mesh.positions.insert(mesh.positions.end(), more.positions.begin(), more.positions.end());
  for (const Triangle& t : more.triangles) mesh.triangles.push_back({t[0] + base, t[1] + base, t[2] + base});
}

/// Signed distance to a closed surface, mm; `kAway` beyond that.
double signed_gap(const Surface& surface, const Vec3& p) {
  constexpr double kAway = 100;
  SignedDistance found;
  return signed_distance(surface, p, kAway, found) ? found.distance_mm : kAway;
}

/// What stays of the bone within one zone, in the bone's own frame. Meshed beyond the zone and cut there, so that the
/// zone's faces are flat.
Result<Mesh> what_stays(const Surface& bone, const Surface& other, const Pose& other_from_own, const Box& zone,
                        double clearance, double step) {
  const auto value = [&](const Vec3& p) {
    const double own = signed_gap(bone, p);
    return own > 2 * step ? own : std::max(own, clearance - signed_gap(other, other_from_own * p));
  };
  const Vec3 beyond = Vec3::Constant(2 * step);
  Mesh around = level_mesh(value, Box(zone.min() - beyond, zone.max() + beyond), step);
  if (around.empty()) return around;
  auto parts = cut_mesh(around, within(zone), 0);
  if (parts.ok()) return std::move(parts.value().positive);
  if (zone.contains(bounds(around))) return around;
  return parts.error();
}

}  // namespace

Result<Removal> preview_removal(const PosedBone& trimmed, const PosedBone& other, const std::vector<Box>& zones,
                                double clearance_mm, double step_mm) {
  if (!trimmed.surface->closed() || !other.surface->closed()) {
    return Error{"the bone's surface is open, so what stays of it is not defined", "", "close its surface first"};
  }
  const Pose own_from_patient = trimmed.pose.inverse();
  const Pose other_from_own = other.pose.inverse() * trimmed.pose;
  Removal result;
  Mesh rest = trimmed.surface->mesh(), kept;
  rest.colours.clear();
  for (const Box& zone : zones_of(zones, own_from_patient, clearance_mm + step_mm)) {
    auto parts = cut_mesh(rest, within(zone), 0);
    if (!parts.ok()) return parts.error();
    const double whole = signed_volume(parts.value().positive);
    rest = std::move(parts.value().negative);
    const auto stays = what_stays(*trimmed.surface, *other.surface, other_from_own, zone, clearance_mm, step_mm);
    if (!stays.ok()) return stays.error();
    result.removed_mm3 += whole - signed_volume(stays.value());
    append(kept, stays.value());
  }
  append(rest, kept);
  result.bone = std::move(rest);
  const auto after = Surface::make(result.bone);
  ContactSettings settings;
  settings.band_mm = 1;
  const ContactResult left = find_contact(*after, trimmed.pose, *other.surface, other.pose, settings);
  if (!left.regions.empty()) result.left_deepest_mm = left.regions.front().deepest_mm;
  result.least_gap_mm = left.minimum_distance_mm;
  return result;
}

}  // namespace intercusp
