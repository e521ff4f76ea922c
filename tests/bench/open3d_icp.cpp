#include "open3d_icp.h"

#include <open3d/geometry/PointCloud.h>
#include <open3d/pipelines/registration/Registration.h>
#include <open3d/pipelines/registration/TransformationEstimation.h>

#include <ctime>

namespace intercusp::bench {
namespace {

double processor_ms_of_all_threads() {
  timespec t{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return 1e3 * static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_nsec);
}

}  // namespace

CloudIcp open3d_icp(const std::vector<Eigen::Vector3d>& moving, const std::vector<Eigen::Vector3d>& target,
                    const std::vector<Eigen::Vector3d>& target_normals, const Eigen::Matrix4d& start, double reach_mm,
                    int rounds) {
  namespace registration = open3d::pipelines::registration;
  open3d::geometry::PointCloud from(moving), to(target);
  to.normals_ = target_normals;
  const double begin = processor_ms_of_all_threads();
  const auto result =
      registration::RegistrationICP(from, to, reach_mm, start, registration::TransformationEstimationPointToPlane(),
                                    registration::ICPConvergenceCriteria(1e-10, 1e-10, rounds));
  return {processor_ms_of_all_threads() - begin, result.transformation_};
}

}  // namespace intercusp::bench
