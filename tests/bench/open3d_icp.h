// Open3D's point-to-plane registration. In a source of its own: its headers do not bear our warnings.
#pragma once

#include <Eigen/Core>

#include <vector>

namespace intercusp::bench {

struct CloudIcp {
  double ms = 0;  ///< processor time of the registration alone, the target's tree and normals included in neither
  Eigen::Matrix4d motion = Eigen::Matrix4d::Identity();
};

/// `rounds` at most; ends as soon as its fitness and its rms change by less than 1e-10.
CloudIcp open3d_icp(const std::vector<Eigen::Vector3d>& moving, const std::vector<Eigen::Vector3d>& target,
                    const std::vector<Eigen::Vector3d>& target_normals, const Eigen::Matrix4d& start, double reach_mm,
                    int rounds);

}  // namespace intercusp::bench
