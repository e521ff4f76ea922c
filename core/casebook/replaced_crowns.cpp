#include "casebook/replaced_crowns.h"

#include <algorithm>
#include <limits>
#include <map>

#include "anatomy/notation.h"
#include "anatomy/tooth_table.h"
#include "geometry/signed_distance.h"

namespace intercusp {
namespace {

// CT widens enamel and rounds it. What lies farther under the scan is met by the scan first.
constexpr double kUnderScan = 0.5, kOutsideScan = 1.5;  // mm: estimates for voxels of 0.3 to 0.4 mm, no source
constexpr double kCrownShare = 0.8;                     // bone ends 1.5 to 2 mm below the crown: textbooks, from memory
constexpr double kOnSurface = 1e-3;                     // mm

/// Whether a point lies as far towards the chewing side as the crown whose axis is nearest.
bool beside_crown(const std::vector<ScannedCrowns::Crown>& crowns, const Vec3& p) {
  double best = std::numeric_limits<double>::max();
  bool beside = false;
  for (const ScannedCrowns::Crown& crown : crowns) {
    const Vec3 from_top = p - crown.top;
    const double depth = crown.apical.dot(from_top), away = (from_top - depth * crown.apical).squaredNorm();
    if (away >= best) continue;
    best = away;
    beside = depth <= kCrownShare * crown.length;
  }
  return beside;
}

std::vector<bool> covered_vertices(const Mesh& bone, const ScannedCrowns& over) {
  Box near = over.scan->box();
  near.min().array() -= kOutsideScan;
  near.max().array() += kOutsideScan;
  std::vector<bool> covered(bone.positions.size());
  for (std::size_t v = 0; v < covered.size(); ++v) {
    const Vec3 p = bone.positions[v].cast<double>();
    SignedDistance found;
    if (!near.contains(p) || !beside_crown(over.crowns, p)) continue;
    if (!signed_distance(*over.scan, p, kOutsideScan, found)) continue;
    covered[v] = found.side != Side::unknown && found.distance_mm >= -kUnderScan;
  }
  return covered;
}

std::vector<ScannedCrowns::Crown> marked_crowns(const Case& c, bool upper) {
  const Vec3 apical = c.patient_from_scans.linear().transpose() * (upper ? Vec3::UnitZ() : Vec3(-Vec3::UnitZ()));
  std::map<int, ScannedCrowns::Crown> crowns;
  for (const auto& [name, landmark] : c.landmarks) {
    if (name.size() < 4 || name[2] != '.' || !lies_on_scan(name)) continue;
    const int tooth = 10 * (name[0] - '0') + (name[1] - '0');
    const auto size = tooth_size(tooth);
    if (!size || is_upper(tooth) != upper) continue;
    const auto [crown, first] =
        crowns.try_emplace(tooth, ScannedCrowns::Crown{landmark.at, apical, size->crown_length});
    if (!first && apical.dot(landmark.at) < apical.dot(crown->second.top)) crown->second.top = landmark.at;
  }
  std::vector<ScannedCrowns::Crown> out;
  for (const auto& entry : crowns) out.push_back(entry.second);
  return out;
}

}  // namespace

bool operator==(const ScannedCrowns& a, const ScannedCrowns& b) {
  return a.scan == b.scan && std::equal(a.crowns.begin(), a.crowns.end(), b.crowns.begin(), b.crowns.end(),
                                        [](const ScannedCrowns::Crown& one, const ScannedCrowns::Crown& other) {
                                          return one.top == other.top && one.apical == other.apical &&
                                                 one.length == other.length;
                                        });
}

ScannedCrowns crowns_over(const Case& c, const Body& body) {
  if (is_dental(body.name) || !c.frame_known) return {};
  const std::string segment = segment_of_body(c, body);
  const bool upper = is_upper_name(body.name);
  for (const Body& other : c.bodies) {
    if (!is_dental(other.name) || holds_roots(other.name) || is_upper_name(other.name) != upper) continue;
    if (segment_of_body(c, other) == segment) return {other.surface, marked_crowns(c, upper)};
  }
  return {};
}

SurfacePtr without_scanned_crowns(const SurfacePtr& bone, const ScannedCrowns& over) {
  if (!over.scan || over.crowns.empty()) return bone;
  const std::vector<bool> covered = covered_vertices(bone->mesh(), over);
  Mesh bared = bone->mesh();
  const auto taken = std::remove_if(bared.triangles.begin(), bared.triangles.end(), [&](const Triangle& t) {
    return std::all_of(t.begin(), t.end(), [&](std::uint32_t v) { return covered[v]; });
  });
  if (taken == bared.triangles.end()) return bone;
  bared.triangles.erase(taken, bared.triangles.end());
  return Surface::make(std::move(bared));
}

SurfacePtr BaredBones::of(const SurfacePtr& bone, const ScannedCrowns& over) {
  if (!over.scan) return bone;
  auto found = std::find_if(bared_.begin(), bared_.end(),
                            [&](const Bared& bared) { return bared.bone == bone && bared.crowns == over; });
  if (found == bared_.end()) found = bared_.insert(found, {bone, over, without_scanned_crowns(bone, over), true});
  found->used = true;
  return found->made;
}

void BaredBones::forget_unused() {
  bared_.remove_if([](const Bared& bared) { return !bared.used; });
  for (Bared& bared : bared_) bared.used = false;
}

bool may_show_crowns(const ScannedCrowns& over, const Vec3& point, double reach_mm) {
  constexpr double kEdge = 3;  // mm: a triangle of a crown reaches no farther beyond its corners
  if (!over.scan || over.scan->box().exteriorDistance(point) > kOutsideScan + reach_mm) return false;
  return std::any_of(over.crowns.begin(), over.crowns.end(), [&](const ScannedCrowns::Crown& crown) {
    return crown.apical.dot(point - crown.top) <= kCrownShare * crown.length + kEdge + reach_mm;
  });
}

bool on_scanned_crown(const Surface& bone, const Surface& bared, const Vec3& point) {
  constexpr double kAnywhere = 1e6;
  ClosestPoint on_bone, left;
  if (&bone == &bared || !bone.bvh().closest(bone.mesh(), point, kAnywhere, on_bone)) return false;
  return !bared.bvh().closest(bared.mesh(), on_bone.point, kOnSurface, left);
}

}  // namespace intercusp
