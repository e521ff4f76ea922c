#include "surgery/plate_gap.h"

#include <algorithm>
#include <cmath>

#include "geometry/signed_distance.h"

namespace intercusp {
namespace {

constexpr double kAnyDistance = 100;  ///< mm; no bone is so thick
constexpr double kBefore = 25;        ///< from where the wall is looked at, mm
constexpr double kDepth = 10;         ///< walls farther in or out than this are other walls, mm
/// Where the depth of the wall leaps by more from step to step, another wall begins: behind the outer plate of a split
/// there is the inner one.
constexpr double kLeap = 0.5, kWalk = 0.2;
constexpr double kSearch = 15;  ///< along `across`
constexpr double kSearchStep = 0.5;
constexpr double kBesideEdge = 0.5;
constexpr double kFaceStep = 0.4, kUnderFace = 0.3, kFacing = 1.0;
// Over this much is said, mm: from memory and common practice.
constexpr double kPoorGap = 3, kPoorStep = 2, kPoorContact = 10, kThinBone = 1, kRootDistance = 1;

/// Several posed bones as one.
class Bones {
 public:
  Bones(const std::vector<PosedBone>& bones, std::function<bool(const Vec3&)> sawn) : sawn_(std::move(sawn)) {
    for (const PosedBone& bone : bones) bones_.push_back({&bone, bone.pose.inverse()});
  }
  bool empty() const { return bones_.empty(); }
  bool sawn(const Vec3& p) const { return sawn_ && sawn_(p); }
  std::optional<double> ray(const Vec3& from, const Vec3& along, double limit) const {
    std::optional<double> best;
    for (const Own& b : bones_) {
      RayHit hit;
      const Surface& surface = *b.bone->surface;
      if (!surface.bvh().ray(surface.mesh(), b.from_patient * from, b.from_patient.linear() * along,
                             best.value_or(limit), hit))
        continue;
      best = hit.t;
    }
    return best;
  }
  /// Soon where the last point asked for was near, and at once where it was farther from the surface than from here.
  bool holds(const Vec3& p) const {
    return std::any_of(bones_.begin(), bones_.end(), [&](const Own& b) {
      const Vec3 q = b.from_patient * p;
      const Surface& surface = *b.bone->surface;
      if (!surface.box().contains(q)) return false;
      if ((q - b.asked).norm() + 1e-9 < b.clear_mm) return b.inside;
      ClosestPoint closest;
      if (!surface.bvh().closest_from(surface.mesh(), q, kAnyDistance, b.near, closest)) return false;
      b.near = closest.triangle;
      b.asked = q;
      b.clear_mm = surface.closed() ? closest.distance_mm : 0;
      return b.inside = side_of(surface, q, closest) == Side::inside;
    });
  }
  /// From any of them, mm: 0 within one, very far where there is none. Soon where the last point asked for was near.
  double distance(const Vec3& p) const {
    double best = 1e9;
    for (const Own& b : bones_) {
      const Vec3 q = b.from_patient * p;
      const Surface& surface = *b.bone->surface;
      ClosestPoint closest;
      if (!surface.bvh().closest_from(surface.mesh(), q, best, b.near, closest)) continue;
      b.near = closest.triangle;
      best = side_of(surface, q, closest) == Side::inside ? 0 : closest.distance_mm;
      if (best == 0) break;
    }
    return best;
  }

 private:
  struct Own {
    const PosedBone* bone;
    Pose from_patient;
    mutable std::uint32_t near = 0;  ///< triangle that was nearest last
    /// The point last asked for, how far a closed surface was from it, and on which side it lay.
    mutable Vec3 asked = Vec3::Zero();
    mutable double clear_mm = 0;
    mutable bool inside = false;
  };
  std::vector<Own> bones_;
  std::function<bool(const Vec3&)> sawn_;
};

class SiteMeter {
 public:
  SiteMeter(const PlateSite& site, const std::vector<PosedBone>& reference, const std::vector<PosedBone>& other,
            const std::vector<PosedBone>& roots, double screw, const SawnFaceTest& sawn)
      : site_(site),
        reference_(reference, sawn.reference),
        other_(other, sawn.other),
        roots_(roots, {}),
        screw_(screw) {}

  std::optional<PlateGap> run() {
    PlateGap out;
    out.site = site_;
    const auto own = first_edge(reference_, -1, 0);
    if (!own) return std::nullopt;
    const auto wall = wall_at(reference_, *own - kBesideEdge);
    if (!wall) return std::nullopt;
    depth_ = *wall;
    out.reference_screw = screw(reference_, *own - kScrewFromEdge);
    const auto facing = first_edge(other_, 1, *own);
    const auto other_wall = facing ? wall_at(other_, *facing + kBesideEdge) : std::nullopt;
    if (!other_wall) return out;
    out.facing = true;
    out.gap_mm = *facing - *own;
    const double slope =
        0.5 * (slope_at(reference_, *own - kBesideEdge, -1) + slope_at(other_, *facing + kBesideEdge, 1));
    out.step_mm = *other_wall - *wall - slope * (*facing - *own + 2 * kBesideEdge);
    out.contact_mm2 = contact(*own);
    depth_ = *other_wall;
    out.other_screw = screw(other_, *facing + kScrewFromEdge);
    return out;
  }

 private:
  /// How far outwards of the anchor the outer wall lies at a height along `across`.
  std::optional<double> wall_at(const Bones& bones, double height) const {
    const Vec3 from = site_.anchor + height * site_.across + (depth_ + kBefore) * site_.outward;
    const auto t = bones.ray(from, -site_.outward, kBefore + kDepth);
    if (!t || *t < kBefore - kDepth || bones.sawn(from - *t * site_.outward)) return std::nullopt;
    return depth_ + kBefore - *t;
  }

  /// How the wall runs outwards a millimetre of `across`, over the next one into the bone; of what is steeper than 45
  /// degrees no plate follows the slant.
  double slope_at(const Bones& bones, double height, double into) const {
    const auto at = wall_at(bones, height), next = wall_at(bones, height + into);
    return at && next ? std::clamp((*next - *at) * into, -1.0, 1.0) : 0;
  }

  /// The first wall with an end, looked for from `from` on into the bone. A wall that goes on and on both ways is none
  /// of the plate's: the inner plate of a split that has come forward.
  std::optional<double> first_edge(const Bones& bones, double into, double from) const {
    for (double ahead = 0; ahead < kSearch; ahead += 1) {
      if (const auto found = edge(bones, into, from + ahead * into)) return found;
    }
    return std::nullopt;
  }

  /// The height at which a bone's wall ends that is at `from` or, if there is none, first met on the way into the bone
  /// (`into` 1 along `across`, -1 against it).
  std::optional<double> edge(const Bones& bones, double into, double from) const {
    if (bones.empty()) return std::nullopt;
    double with = from, without = from;
    if (wall_at(bones, from)) {
      double depth = *wall_at(bones, from);
      do {
        with = without;
        depth = *wall_at(bones, with);
        without -= into * kWalk;
        if (std::abs(without - from) > kSearch) return std::nullopt;  // wall all the way: this is not an edge
      } while (same_wall(bones, without, depth));
      return halved(bones, with, without);
    }
    while (!wall_at(bones, with)) {
      without = with;
      with += into * kSearchStep;
      if (std::abs(with - from) > kSearch) return std::nullopt;
    }
    return halved(bones, with, without);
  }

  bool same_wall(const Bones& bones, double height, double depth) const {
    const auto wall = wall_at(bones, height);
    return wall && std::abs(*wall - depth) < kLeap;
  }

  double halved(const Bones& bones, double with, double without) const {
    const double depth = *wall_at(bones, with);
    for (int round = 0; round < 24; ++round) {
      const double middle = 0.5 * (without + with);
      (same_wall(bones, middle, depth) ? with : without) = middle;
    }
    return with;
  }

  std::optional<ScrewPath> screw(const Bones& bones, double height) const {
    const auto wall = wall_at(bones, height);
    if (!wall) return std::nullopt;
    constexpr double kInside = 1e-4;
    ScrewPath path;
    path.entry = site_.anchor + height * site_.across + *wall * site_.outward;
    path.tip = path.entry - screw_ * site_.outward;
    const auto out = bones.ray(path.entry - kInside * site_.outward, -site_.outward, 60);
    path.thickness_mm = out ? *out + kInside : 0;
    if (roots_.empty()) return path;
    path.tip_to_root_mm = roots_.distance(path.tip);
    path.path_to_root_mm = least_along(path, *path.tip_to_root_mm);
    return path;
  }

  /// The least distance from a root along a screw, from its tip, whose distance is given, to its entry. No nearer than
  /// the distance at a step less the way since then does a root come: steps that can show nothing are left out.
  double least_along(const ScrewPath& path, double at_tip) const {
    constexpr double kStep = 0.25;
    double least = at_tip, sure = at_tip;
    for (double t = screw_ - kStep; t >= 0 && least > 0; t -= kStep) {
      sure -= kStep;
      if (sure >= least) continue;
      sure = roots_.distance(path.entry - t * site_.outward);
      least = std::min(least, sure);
    }
    return least;
  }

  double contact(double own) const {
    const Vec3 along = site_.across.cross(site_.outward).normalized();
    const int reach = static_cast<int>(kFaceReach / kFaceStep);
    int cells = 0;
    for (int i = -reach; i < reach; ++i) {
      for (int k = -reach; k < reach; ++k) {
        const Vec3 on_face = site_.anchor + own * site_.across + (i + 0.5) * kFaceStep * along +
                             (depth_ + (k + 0.5) * kFaceStep) * site_.outward;
        if (!reference_.holds(on_face - kUnderFace * site_.across)) continue;
        cells += other_.holds(on_face + kUnderFace * site_.across) ||
                 other_.holds(on_face + (kFacing + 0.02) * site_.across);
      }
    }
    return cells * kFaceStep * kFaceStep;
  }

  const PlateSite& site_;
  Bones reference_, other_, roots_;
  double screw_;
  double depth_ = 0;  ///< of the wall looked at, outwards of the anchor
};

}  // namespace

std::optional<PlateGap> measure_plate_gap(const PlateSite& site, const std::vector<PosedBone>& reference,
                                          const std::vector<PosedBone>& other, const std::vector<PosedBone>& roots,
                                          double screw_mm, const SawnFaceTest& sawn) {
  return SiteMeter(site, reference, other, roots, screw_mm, sawn).run();
}

std::vector<PlateRemark> plate_remarks(const PlateGap& gap) {
  const char *from_memory = "textbooks, from memory", *practice = "common practice, no source";
  if (!gap.facing)
    return {{"no bone of the other segment opposite within reach of a plate",
             "a graft or another site is usually considered", from_memory}};
  std::vector<PlateRemark> out;
  if (gap.gap_mm > kPoorGap) out.push_back({"gap over 3 mm", "bone graft is usually considered", from_memory});
  if (std::abs(gap.step_mm) > kPoorStep)
    out.push_back({"step over 2 mm", "a step plate is usually considered", practice});
  if (gap.contact_mm2 < kPoorContact && gap.gap_mm <= kPoorGap) out.push_back({"little bone faces bone here", "", ""});
  bool thin = false, near_root = false;
  for (const auto& screw : {gap.reference_screw, gap.other_screw}) {
    if (!screw) continue;
    thin = thin || screw->thickness_mm < kThinBone;
    near_root = near_root || (screw->path_to_root_mm && *screw->path_to_root_mm < kRootDistance);
  }
  if (thin) out.push_back({"bone under 1 mm in the line of a screw", "", ""});
  if (near_root) out.push_back({"a screw comes within 1 mm of a root", "", ""});
  return out;
}

std::string plate_advice(const PlateGap& gap) {
  std::string words;
  for (const PlateRemark& remark : plate_remarks(gap)) {
    words += (words.empty() ? "" : "; ") + remark.what;
    if (!remark.considered.empty()) words += ": " + remark.considered + " (" + remark.source + ")";
  }
  return words;
}

std::optional<double> screw_tip_to_root(const PlateGap& gap) {
  std::optional<double> least;
  for (const auto& screw : {gap.reference_screw, gap.other_screw}) {
    if (screw && screw->tip_to_root_mm) least = std::min(least.value_or(1e9), *screw->tip_to_root_mm);
  }
  return least;
}

}  // namespace intercusp
