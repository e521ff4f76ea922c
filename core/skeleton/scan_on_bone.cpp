#include "skeleton/scan_on_bone.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <optional>

#include "base/parallel.h"
#include "geometry/registration.h"

namespace intercusp {

namespace {

struct Stage {
  double reach_mm, kept;
  int rounds;
};

/// Crowns and gum together at first; in the end what lies within half a millimetre, which is crowns.
constexpr Stage kStages[] = {{4, 0.5, 25}, {2, 0.6, 25}, {1, 0.8, 25}, {0.6, 0.9, 40}};

Result<Pose> refined(const Surface& scan, const Surface& bone, Pose pose, const Progress& progress) {
  for (const Stage& stage : kStages) {
    RegistrationSettings settings;
    settings.reach_mm = stage.reach_mm;
    settings.kept = stage.kept;
    settings.most_rounds = stage.rounds;
    settings.settled_mm = 1e-4;
    auto found = register_surfaces(scan, bone, pose, settings);
    if (!found.ok()) return found.error();
    if (progress.cancelled()) return Error{"laying the scan on the bone was stopped", "", ""};
    pose = found.value().motion;
  }
  return pose;
}

double turn_of(const Pose& pose) {
  const double cosine = 0.5 * (pose.linear().trace() - 1);
  return degrees(std::acos(std::clamp(cosine, -1.0, 1.0)));
}

/// Some two hundred points spread over the scan, and how well they lie on a bone.
class RoughFit {
 public:
  RoughFit(const Surface& scan, const Surface& bone) : bone_(bone) {
    const auto& order = scan.block_vertices();
    const std::size_t stride = std::max<std::size_t>(order.size() / 200, 1);
    for (std::size_t i = 0; i < order.size(); i += stride) {
      points_.push_back(scan.mesh().positions[order[i]].cast<double>());
      normals_.push_back(scan.normals()[order[i]].cast<double>());
    }
  }

  /// 0 = every point lies on the bone and faces as it does, 1 = none comes near.
  double cost(const Pose& pose) const {
    constexpr double kReach = 4;
    double sum = 0;
    std::uint32_t hint = bone_.bvh().order().front();
    for (std::size_t i = 0; i < points_.size(); ++i) {
      ClosestPoint nearest;
      double one = 1;
      if (bone_.bvh().closest_from(bone_.mesh(), pose * points_[i], kReach, hint, nearest)) {
        hint = nearest.triangle;
        const Vec3 n = bone_.scaled_normal(nearest.triangle).stableNormalized();
        if (n.dot(pose.linear() * normals_[i]) > 0.5) one = std::min(1.0, nearest.distance_mm / kReach);
      }
      sum += one;
    }
    return sum / static_cast<double>(points_.size());
  }

 private:
  const Surface& bone_;
  std::vector<Vec3> points_, normals_;
};

struct Start {
  double cost;
  Pose pose;
};

/// Places on a grid over the middle third of the bone's breadth, each with the head upright and tipped either way.
std::vector<Start> rough_starts(const Surface& scan, const Surface& bone, const Pose& upright, const RoughFit& fit) {
  constexpr double kStep = 9;
  const Vec3 middle = upright * scan.box().center(), low = bone.box().min();
  const Eigen::Vector3i count = (bone.box().sizes() / kStep).array().ceil().cast<int>().matrix();
  std::vector<Start> starts;
  for (const double pitch : {-16.0, 0.0, 16.0})
    for (int x = count.x() / 3; x <= 2 * count.x() / 3; ++x)
      for (int y = 0; y < count.y(); ++y)
        for (int z = 0; z < count.z(); ++z) {
          const Vec3 at = low + kStep * Vec3(x + 0.5, y + 0.5, z + 0.5);
          Pose pose(Eigen::AngleAxisd(radians(pitch), Vec3::UnitX()));
          pose.translation() = at - pose.linear() * middle;
          starts.push_back({1, pose * upright});
        }
  in_halves(starts.size(), 8, [&](std::size_t from, std::size_t to) {
    for (std::size_t i = from; i < to; ++i) starts[i].cost = fit.cost(starts[i].pose);
  });
  std::stable_sort(starts.begin(), starts.end(), [](const Start& a, const Start& b) { return a.cost < b.cost; });
  return starts;
}

/// Steps downhill in place and turn, halving the step: the cost is rough, a gradient would mislead.
Start improved(const RoughFit& fit, Start start, const Vec3& middle) {
  const std::array<Vec3, 3> axes{Vec3::UnitX(), Vec3::UnitY(), Vec3::UnitZ()};
  for (double step = 4; step > 0.4; step *= 0.5)
    for (bool better = true; better;) {
      better = false;
      for (int way = 0; way < 12; ++way) {
        const Vec3 axis = (way % 2 ? -1.0 : 1.0) * axes[static_cast<std::size_t>(way / 2 % 3)];
        const Vec3 centre = start.pose * middle;
        Pose by = Pose::Identity();
        if (way < 6) {
          by.translation() = step * axis;
        } else {
          by = Eigen::Translation3d(centre) * Pose(Eigen::AngleAxisd(radians(1.5 * step), axis)) *
               Eigen::Translation3d(-centre);
        }
        const Start tried{fit.cost(by * start.pose), by * start.pose};
        if (tried.cost >= start.cost - 1e-9) continue;
        start = tried;
        better = true;
      }
    }
  return start;
}

}  // namespace

std::string ScanOnBone::sentence(const std::string& scan, const std::string& bone) const {
  char words[400];
  std::snprintf(
      words, sizeof words,
      "%s lies on the teeth of %s to %.2f mm (root mean square of %.0f%% of its points; 95 of 100 within %.2f "
      "mm; the bone's teeth are %.2f mm %s)",
      scan.c_str(), bone.c_str(), rms_mm, 100 * covered, largest_mm, std::abs(offset_mm),
      offset_mm < 0 ? "thicker" : "thinner");
  std::string said = words;
  if (covered < kGoodShare) {
    said +=
        ": too little of it meets the bone to be relied on; check that both are of one patient and that the bone shows "
        "its teeth";
  } else if (rms_mm > kGoodRms) {
    said +=
        ": that is uneven; metal, movement or other teeth in the CT may be the cause, so check it by eye before use";
  }
  return said;
}

ScanOnBone read_scan_on_bone(const Surface& scan, const Surface& bone, const Pose& pose) {
  constexpr double kSameWay = 0.7;
  ScanOnBone r;
  r.bone_from_scan = pose;
  std::vector<double> gaps;
  double square = 0, sum = 0;
  std::uint32_t hint = bone.bvh().empty() ? 0 : bone.bvh().order().front();
  for (const std::uint32_t v : scan.block_vertices()) {
    if (bone.bvh().empty()) break;
    const Vec3 p = pose * scan.mesh().positions[v].cast<double>();
    ClosestPoint nearest;
    if (!bone.bvh().closest_from(bone.mesh(), p, ScanOnBone::kNear, hint, nearest)) continue;
    hint = nearest.triangle;
    const Vec3 n = bone.scaled_normal(nearest.triangle).stableNormalized();
    if (n.dot(pose.linear() * scan.normals()[v].cast<double>()) < kSameWay) continue;
    gaps.push_back(nearest.distance_mm);
    square += nearest.distance_mm * nearest.distance_mm;
    sum += n.dot(p - nearest.point) < 0 ? -nearest.distance_mm : nearest.distance_mm;
  }
  r.points = gaps.size();
  const Vec3 middle = scan.box().center();
  r.moved_mm = (pose * middle - middle).norm();
  r.turned_deg = turn_of(pose);
  if (gaps.empty()) return r;
  const double count = static_cast<double>(gaps.size());
  r.covered = count / static_cast<double>(scan.block_vertices().size());
  r.rms_mm = std::sqrt(square / count);
  r.offset_mm = sum / count;
  const auto rank = static_cast<std::ptrdiff_t>(0.95 * (count - 1));
  std::nth_element(gaps.begin(), gaps.begin() + rank, gaps.end());
  r.largest_mm = gaps[static_cast<std::size_t>(rank)];
  return r;
}

Result<ScanOnBone> lay_scan_on_bone(const Surface& scan, const Surface& bone, const Pose& start,
                                    const Progress& progress) {
  auto pose = refined(scan, bone, start, progress);
  if (!pose.ok()) return pose.error();
  return read_scan_on_bone(scan, bone, pose.value());
}

Result<ScanOnBone> find_scan_on_bone(const Surface& scan, const Surface& bone, const Pose& upright_from_scan,
                                     const Progress& progress) {
  if (scan.bvh().empty() || bone.bvh().empty())
    return Error{"one of the surfaces has no triangles", "", "choose two surfaces with triangles"};
  const RoughFit fit(scan, bone);
  std::vector<Start> starts = rough_starts(scan, bone, upright_from_scan, fit);
  constexpr std::size_t kTried = 8;
  if (starts.size() > kTried) starts.resize(kTried);
  in_halves(starts.size(), 2, [&](std::size_t from, std::size_t to) {
    for (std::size_t i = from; i < to; ++i) starts[i] = improved(fit, starts[i], scan.box().center());
  });
  if (progress.cancelled()) return Error{"laying the scan on the bone was stopped", "", ""};
  std::stable_sort(starts.begin(), starts.end(), [](const Start& a, const Start& b) { return a.cost < b.cost; });
  std::optional<ScanOnBone> best;
  for (std::size_t i = 0; i < std::min<std::size_t>(starts.size(), 2); ++i) {
    auto laid = lay_scan_on_bone(scan, bone, starts[i].pose, progress);
    if (laid.ok() && (!best || laid.value().covered > best->covered)) best = laid.value();
  }
  if (best) return *best;
  return Error{"no place was found where the scan lies on the teeth of the bone", "",
               "give landmarks on both, or check that the bone surface shows the teeth"};
}

}  // namespace intercusp
