#include "surgery/removal.h"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <limits>

#include "base/parallel.h"
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

/// Signed distance to a closed surface, mm; `kAway` beyond that.
double signed_gap(const Surface& surface, const Vec3& p) {
  constexpr double kAway = 100;
  SignedDistance found;
  return signed_distance(surface, p, kAway, found) ? found.distance_mm : kAway;
}

/// The bones that another one is cut back from, in its own frame.
class Others {
 public:
  Others(const std::vector<PosedBone>& bones, const Pose& trimmed) {
    for (const PosedBone& bone : bones) bones_.push_back({bone.surface.get(), bone.pose.inverse() * trimmed});
  }
  double gap(const Vec3& own) const {
    double least = 1e9;
    for (const auto& [surface, from_own] : bones_) least = std::min(least, signed_gap(*surface, from_own * own));
    return least;
  }

 private:
  std::vector<std::pair<const Surface*, Pose>> bones_;
};

/// How far the work has come, told while values are asked for on several threads.
class Steps {
 public:
  Steps(const Progress& progress, const std::vector<Box>& zones, double step) : progress_(progress) {
    for (const Box& zone : zones) all_ += zone.volume() / (step * step * step);
  }
  void one() const {
    const std::uint64_t n = ++done_;
    if (n % 4096 == 0) progress_.report(std::min(0.9, 0.9 * static_cast<double>(n) / std::max(1.0, all_)));
  }
  bool stopped() const { return progress_.cancelled(); }

 private:
  const Progress& progress_;
  double all_ = 0;
  mutable std::atomic<std::uint64_t> done_{0};
};

/// How bones are cut back from others.
struct Trimming {
  const Surface& bone;
  const Others& others;
  double clearance_mm, step_mm;
  const Steps& steps;

  /// What stays within one zone, in the bone's own frame. Meshed beyond the zone and cut there, so that the zone's
  /// faces are flat.
  Result<Mesh> what_stays(const Box& zone) const {
    const auto value = [&](const Vec3& p) {
      if (steps.stopped()) return step_mm;  // outside everywhere: soon done
      steps.one();
      const double own = signed_gap(bone, p);
      return own > 2 * step_mm ? own : std::max(own, clearance_mm - others.gap(p));
    };
    const Vec3 beyond = Vec3::Constant(2 * step_mm);
    // On multiples of the step: what stays of an edge must not hang on how far a zone happens to reach.
    const Vec3 from = ((zone.min() - beyond) / step_mm).array().floor() * step_mm;
    Mesh around = level_mesh(value, Box(from, zone.max() + beyond), step_mm);
    if (around.empty()) return around;
    auto parts = cut_mesh(around, within(zone), 0);
    if (parts.ok()) return std::move(parts.value().positive);
    if (zone.contains(bounds(around))) return around;
    return parts.error();
  }

  /// Which vertices lie where the bone was cut back: inside the whole bone, at the clearance from another.
  std::vector<std::uint8_t> fresh(const Mesh& mesh) const {
    constexpr double kUnder = 0.05;  // of a millimetre: meshing anew rounds edges off
    std::vector<std::uint8_t> out(mesh.positions.size(), 0);
    in_halves(out.size(), 2000, [&](std::size_t begin, std::size_t end) {
      for (std::size_t v = begin; v < end; ++v) {
        const Vec3 p = mesh.positions[v].cast<double>();
        out[v] = signed_gap(bone, p) < -kUnder && others.gap(p) < clearance_mm + step_mm;
      }
    });
    return out;
  }
};

}  // namespace

Result<Removal> preview_removal(const PosedBone& trimmed, const std::vector<PosedBone>& others,
                                const std::vector<Box>& zones, double clearance_mm, double step_mm,
                                const Progress& progress) {
  bool closed = trimmed.surface->closed();
  for (const PosedBone& other : others) closed = closed && other.surface->closed();
  if (!closed)
    return Error{"the bone's surface is open, so what stays of it is not defined", "", "close its surface first"};
  const std::vector<Box> own_zones = zones_of(zones, trimmed.pose.inverse(), clearance_mm + step_mm);
  const Others from(others, trimmed.pose);
  const Steps steps(progress, own_zones, step_mm);
  const Trimming trimming{*trimmed.surface, from, clearance_mm, step_mm, steps};
  Removal result;
  Mesh rest = trimmed.surface->mesh(), kept;
  rest.colours.clear();
  for (const Box& zone : own_zones) {
    auto parts = cut_mesh(rest, within(zone), 0);
    if (!parts.ok()) return parts.error();
    const double whole = signed_volume(parts.value().positive);
    rest = std::move(parts.value().negative);
    const auto stays = trimming.what_stays(zone);
    if (steps.stopped()) return Error{"the preview was stopped", "", "begin again"};
    if (!stays.ok()) return stays.error();
    result.removed_mm3 += whole - signed_volume(stays.value());
    append(kept, stays.value());
  }
  append(rest, kept);
  result.zones = own_zones;
  result.bone = std::move(rest);
  result.fresh = trimming.fresh(result.bone);
  check_free({Surface::make(result.bone), trimmed.pose}, others, result);
  return result;
}

void check_free(const PosedBone& after, const std::vector<PosedBone>& others, Removal& result) {
  ContactSettings settings;
  settings.band_mm = 1;
  result.left_deepest_mm = 0;
  result.least_gap_mm = std::numeric_limits<double>::infinity();
  for (const PosedBone& other : others) {
    const ContactResult left = find_contact(*after.surface, after.pose, *other.surface, other.pose, settings);
    if (!left.regions.empty())
      result.left_deepest_mm = std::max(result.left_deepest_mm, left.regions.front().deepest_mm);
    result.least_gap_mm = std::min(result.least_gap_mm, left.minimum_distance_mm);
  }
}

}  // namespace intercusp
