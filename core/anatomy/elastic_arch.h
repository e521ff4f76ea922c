// An arch of crowns held together by springs, drawn onto a scan.
#pragma once

#include <vector>

#include "anatomy/arch_placement.h"

namespace intercusp {

/// One crown of the average arch on a scan: scan_from_tooth, p -> centre + axes * (scale .* (p - pivot)).
struct CrownOnScan {
  Vec3 pivot = Vec3::Zero();     ///< tooth axes
  Vec3 centre = Vec3::Zero();    ///< scan
  Mat3 axes = Mat3::Identity();  ///< mesial, buccal, occlusal as columns, as in PlacedTooth
  Vec3 scale = Vec3::Ones();     ///< along them, against the average crown

  Vec3 world(const Vec3& p) const { return centre + axes * scale.cwiseProduct(p - pivot); }
  Vec3 local(const Vec3& q) const { return pivot + (axes.transpose() * (q - centre)).cwiseQuotient(scale); }
  /// Of a normal in tooth axes.
  Vec3 turned_normal(const Vec3& n) const { return (axes * n.cwiseQuotient(scale)).normalized(); }
};

struct ElasticRound {
  std::size_t points = 60;    ///< of each crown
  double reach_mm = 2;        ///< partners farther away do not count
  double soft_mm = 0.7;       ///< distances beyond it count less and less
  double least_cosine = 0.5;  ///< of the normals
  double stiffness = 1;       ///< of the springs; 1 = as much as people differ
};

/// How a crown lies on a scan.
struct Lying {
  double covered = 0;  ///< 0..1: share of its points that have a partner
  double rms_mm = 0;   ///< of the distances of those
};

class ElasticArch {
 public:
  static constexpr std::size_t kAllPoints = 1000;

  ElasticArch(const Surface& scan, const ArchTemplate& arch, const ArchPlacement& start);

  /// One Gauss-Newton step of all crowns together: point to plane, contacts of neighbours together, neighbours turned
  /// and sized alike, sizes near the average. O(points log n) and a dense system of nine unknowns a crown.
  void step(const ElasticRound& round);

  /// How a crown lies on the scan, by its first `points` points.
  Lying lying(std::size_t crown, std::size_t points = kAllPoints);

  /// Stands the crowns that are not `kept` beside the nearest kept ones, as in the average arch, raised by `up_mm`
  /// along its chewing direction.
  void regrow(const std::vector<bool>& kept, double up_mm);

  const std::vector<CrownOnScan>& crowns() const { return crowns_; }

 private:
  struct System;
  /// Rotation scan_from_arch of the kept crowns on the whole; of `crown` alone where there are few.
  Mat3 turn_of(const std::vector<bool>& kept, std::size_t crown) const;
  void add_points(std::size_t crown, const ElasticRound& round, System& system);
  void add_springs(const ElasticRound& round, System& system) const;
  void move(const Eigen::VectorXd& by);

  const Surface* scan_;
  const ArchTemplate* arch_;
  std::vector<CrownOnScan> crowns_;
  std::vector<std::vector<std::uint32_t>> hints_;
  double arch_scale_ = 1;
};

}  // namespace intercusp
