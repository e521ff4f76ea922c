#include "anatomy/arch_placement.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>

#include "anatomy/scan_partner.h"
#include "base/parallel.h"

namespace intercusp {

namespace {

using Normal9 = Eigen::Matrix<double, 9, 9>;
using Vec9 = Eigen::Matrix<double, 9, 1>;

const Vec3 kUsualScale(0.05, 0.08, 0.04);  ///< spread of arch sizes about the average, as fractions
const Vec3 kMiddle(0, 25, 0);              ///< of the arch, its own frame
constexpr double kJudgedAt = 3.5;          ///< mm: reach at which placements are compared
constexpr int kYaws = 18;

/// Points of the arch with normals, in its own frame.
struct ArchPoints {
  std::vector<Vec3> at, normal;

  ArchPoints(const ArchTemplate& arch, std::size_t per_crown) {
    for (const TemplateCrown& crown : arch.crowns)
      for (std::size_t i = 0; i < std::min(per_crown, crown.points.size()); ++i) {
        at.push_back(crown.placed.world(crown.points[i]));
        normal.push_back(crown.placed.axes * crown.normals[i]);
      }
  }
};

/// One round of closest points on a placement.
class PlacementRounds {
 public:
  PlacementRounds(const Surface& scan, const ArchPoints& points)
      : scan_(scan), points_(points), hints_(points.at.size(), 0) {}

  void improve(ArchPlacement& p, double reach_mm, double least_cosine) {
    Normal9 a = Normal9::Zero();
    Vec9 b = Vec9::Zero();
    const Vec3 centre = p.apply(kMiddle);
    std::size_t used = 0;
    ScanPartner partner;
    for (std::size_t i = 0; i < points_.at.size(); ++i) {
      const Vec3 x = p.apply(points_.at[i]);
      if (!find_partner(scan_, x, p.turn * points_.normal[i], reach_mm, least_cosine, hints_[i], partner)) continue;
      const double r = partner.normal.dot(partner.at - x), t = 2 * r / reach_mm;
      const Vec3 stretched = p.scale.cwiseProduct(points_.at[i] - kMiddle);
      Vec9 row;
      row << (x - centre).cross(partner.normal), partner.normal,
          stretched.cwiseProduct(p.turn.transpose() * partner.normal);
      const double weight = 1 / ((1 + t * t) * (1 + t * t));
      a += weight * row * row.transpose();
      b += weight * r * row;
      ++used;
    }
    if (used < 12) return;
    step(p, a, b, centre);
  }

  double cost(const ArchPlacement& p) {
    double sum = 0;
    ScanPartner partner;
    for (std::size_t i = 0; i < points_.at.size(); ++i) {
      const bool found =
          find_partner(scan_, p.apply(points_.at[i]), p.turn * points_.normal[i], kJudgedAt, 0.5, hints_[i], partner);
      sum += found ? partner.away_mm / kJudgedAt : 1;
    }
    return sum / static_cast<double>(points_.at.size());
  }

 private:
  /// Solves for turn, shift and sizes about `centre`, the image of the middle; the sizes are held near the usual ones.
  static void step(ArchPlacement& p, Normal9& a, Vec9& b, const Vec3& centre) {
    constexpr double kNoise = 1.0;
    const double hold = a.trace() / 9 * 1e-6;
    for (int k = 0; k < 6; ++k) a(k, k) += hold;
    for (int k = 0; k < 3; ++k) {
      const double stiff = std::pow(kNoise / kUsualScale[k], 2);
      a(6 + k, 6 + k) += stiff;
      b[6 + k] -= stiff * std::log(p.scale[k]);
    }
    const Vec9 d = a.ldlt().solve(b);
    if (!d.allFinite()) return;
    const double angle = d.head<3>().norm(), most = 0.35;
    if (angle > 0) p.turn = Eigen::AngleAxisd(std::min(angle, most), d.head<3>() / angle).toRotationMatrix() * p.turn;
    for (int k = 0; k < 3; ++k) p.scale[k] *= std::exp(std::clamp(d[6 + k], -0.05, 0.05));
    p.shift = centre + d.segment<3>(3) - p.turn * p.scale.cwiseProduct(kMiddle);
  }

  const Surface& scan_;
  const ArchPoints& points_;
  std::vector<std::uint32_t> hints_;
};

/// Principal axes as columns, the flattest first.
Mat3 principal_axes(const std::vector<Vec3>& points) {
  Vec3 mean = Vec3::Zero();
  for (const Vec3& p : points) mean += p;
  mean /= static_cast<double>(points.size());
  Mat3 spread = Mat3::Zero();
  for (const Vec3& p : points) spread += (p - mean) * (p - mean).transpose();
  return Eigen::SelfAdjointEigenSolver<Mat3>(spread).eigenvectors();
}

/// Middles of triangles, a few thousand of them, spread by area.
std::vector<Vec3> spread_over(const Surface& scan) {
  const Mesh& mesh = scan.mesh();
  double area = 0;
  for (std::size_t i = 0; i < mesh.triangles.size(); ++i) area += scan.scaled_normal(i).norm();
  const double step = area / 4000;
  std::vector<Vec3> points;
  double due = 0.5 * step;
  for (std::size_t i = 0; i < mesh.triangles.size(); ++i) {
    due -= scan.scaled_normal(i).norm();
    if (due > 0) continue;
    points.push_back((mesh.corner(i, 0) + mesh.corner(i, 1) + mesh.corner(i, 2)) / 3);
    while (due <= 0) due += step;
  }
  return points;
}

/// Ends of what lies along a direction, without the outermost hundredth on either side.
std::pair<double, double> reach_along(const std::vector<Vec3>& points, const Vec3& direction) {
  std::vector<double> along;
  for (const Vec3& p : points) along.push_back(direction.dot(p));
  const std::size_t skip = along.size() / 100;
  const auto low = along.begin() + static_cast<std::ptrdiff_t>(skip), high = along.end() - 1 - low + along.begin();
  std::nth_element(along.begin(), low, along.end());
  const double from = *low;
  std::nth_element(along.begin(), high, along.end());
  return {from, *high};
}

/// The arch turned so, its middle over that of the scan, its chewing side level with the scan's.
ArchPlacement start_with(const Mat3& turn, const std::vector<Vec3>& scan, const ArchPoints& points, double occlusal_z) {
  ArchPlacement p;
  p.turn = turn;
  for (int k = 0; k < 3; ++k) {
    const Vec3 image = turn.col(k);
    const auto [from, to] = reach_along(scan, image);
    const auto [low, high] = reach_along(points.at, Vec3::Unit(k));
    double by = 0.5 * (from + to - low - high);
    if (k == 2) by = occlusal_z > 0 ? to - high : from - low;
    p.shift += by * image;
  }
  return p;
}

std::vector<ArchPlacement> all_starts(const Surface& scan, const ArchTemplate& arch, const ArchPoints& points,
                                      const std::optional<Pose>& patient_from_scan) {
  const std::vector<Vec3> spread = spread_over(scan);
  std::vector<ArchPlacement> starts;
  if (spread.empty()) return starts;
  const Mat3 axes = principal_axes(spread);
  const double side = arch.occlusal().z();
  if (patient_from_scan) starts.push_back(start_with(patient_from_scan->linear().transpose(), spread, points, side));
  for (int axis = 0; axis < 3; ++axis)
    for (const double up : {1.0, -1.0})
      for (int yaw = 0; yaw < kYaws; ++yaw) {
        const Vec3 z = up * axes.col(axis), u = axes.col((axis + 1) % 3), v = z.cross(u);
        const double t = 2 * kPi * yaw / kYaws;
        Mat3 turn;
        turn.col(0) = std::cos(t) * u + std::sin(t) * v;
        turn.col(1) = z.cross(turn.col(0));
        turn.col(2) = z;
        starts.push_back(start_with(turn, spread, points, side));
      }
  return starts;
}

void improve_all(std::vector<ArchPlacement>& placements, const Surface& scan, const ArchPoints& points,
                 const std::vector<double>& reaches, double least_cosine) {
  in_halves(placements.size(), 2, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      PlacementRounds rounds(scan, points);
      for (const double reach : reaches) rounds.improve(placements[i], reach, least_cosine);
      placements[i].cost = rounds.cost(placements[i]);
    }
  });
}

/// How far the corners of the arch stand apart in two placements, mm.
double apart(const ArchPlacement& a, const ArchPlacement& b) {
  double most = 0;
  for (const Vec3& p : {Vec3(0, 0, 0), Vec3(-28, 45, 0), Vec3(28, 45, 0)})
    most = std::max(most, (a.apply(p) - b.apply(p)).norm());
  return most;
}

bool same_way_up(const ArchPlacement& a, const ArchPlacement& b) {
  return a.turn.col(2).dot(b.turn.col(2)) > 0.7;
}

/// The best ones, none like another; of each way up at most as many, because an arch upside down on
/// the base of a model finds flat partners everywhere.
std::vector<ArchPlacement> best_of(std::vector<ArchPlacement> all, std::size_t most, std::size_t most_each_way) {
  std::stable_sort(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.cost < b.cost; });
  std::vector<ArchPlacement> kept;
  for (const ArchPlacement& p : all) {
    if (kept.size() == most) break;
    const auto like_p = [&](const ArchPlacement& k) { return apart(k, p) < 1.5; };
    const auto as_p = [&](const ArchPlacement& k) { return same_way_up(k, p); };
    if (std::any_of(kept.begin(), kept.end(), like_p)) continue;
    if (static_cast<std::size_t>(std::count_if(kept.begin(), kept.end(), as_p)) < most_each_way) kept.push_back(p);
  }
  return kept;
}

const std::vector<double> kCloser{5, 5, 4, 4, 3, 3, 3, 2.5};
constexpr std::size_t kManyPoints = 24;

}  // namespace

std::vector<ArchPlacement> place_arch(const Surface& scan, const ArchTemplate& arch, std::size_t most,
                                      const std::optional<Pose>& patient_from_scan, const Progress& progress) {
  const ArchPoints few(arch, 7), many(arch, kManyPoints);
  std::vector<ArchPlacement> placements = all_starts(scan, arch, few, patient_from_scan);
  improve_all(placements, scan, few, {12, 10, 8, 7, 6, 5, 4, 4}, 0.2);
  progress.report(0.3);
  if (progress.cancelled()) return {};
  placements = best_of(std::move(placements), 10, 4);
  improve_all(placements, scan, many, kCloser, 0.4);
  progress.report(0.5);
  if (progress.cancelled()) return {};
  return best_of(std::move(placements), most, most);
}

std::vector<ArchPlacement> slip_arch(const std::vector<ArchPlacement>& known) {
  std::vector<ArchPlacement> slipped;
  const std::vector<ArchPlacement> from = best_of(known, 6, 3);
  for (const double yaw_deg : {4., -4., 8., -8., 12., -12., 18., -18.})
    for (const ArchPlacement& p : from) {
      ArchPlacement q = p;
      q.turn = p.turn * Eigen::AngleAxisd(radians(yaw_deg), Vec3::UnitZ()).toRotationMatrix();
      q.shift = p.apply(kMiddle) - q.turn * q.scale.cwiseProduct(kMiddle);
      slipped.push_back(q);
    }
  return slipped;
}

}  // namespace intercusp
