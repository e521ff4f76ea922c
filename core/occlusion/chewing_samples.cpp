#include "occlusion/chewing_samples.h"

#include <array>
#include <cmath>
#include <set>

namespace intercusp {
namespace {

constexpr double kReachMm = 6.0;
constexpr float kLeastFacing = 0.15F;  // cosine between normal and the direction to the other arch

bool near_any(const std::vector<Vec3>& marks, const Vec3& p) {
  for (const Vec3& mark : marks) {
    if ((mark - p).squaredNorm() < kReachMm * kReachMm) return true;
  }
  return false;
}

}  // namespace

std::vector<Vec3> chewing_marks(const PointMap& points, Jaw jaw) {
  std::vector<Vec3> out;
  for (const auto& [name, at] : points) {
    if (name.size() < 4 || name[2] != '.' || jaw_of_landmark(name) != jaw) continue;
    for (const char* feature : {"cusp", "edge", "groove", "fossa"}) {
      if (name.find(feature) != std::string::npos) {
        out.push_back(at);
        break;
      }
    }
  }
  return out;
}

std::vector<Vec3> chewing_points_of(const PosedSurface& arch, const std::vector<Vec3>& marks, const Vec3& towards) {
  const Surface& surface = *arch.surface;
  const Vec3f facing = (arch.patient_from_surface.linear().transpose() * towards).cast<float>();
  std::vector<Vec3> out;
  for (std::size_t v = 0; v < surface.mesh().positions.size(); ++v) {
    if (surface.normals()[v].dot(facing) < kLeastFacing) continue;
    const Vec3 p = arch.patient_from_surface * surface.mesh().positions[v].cast<double>();
    if (near_any(marks, p)) out.push_back(p);
  }
  return out;
}

std::vector<Vec3> thinned(const std::vector<Vec3>& points, double step_mm) {
  std::set<std::array<long, 3>> taken;
  std::vector<Vec3> out;
  for (const Vec3& p : points) {
    const std::array<long, 3> cell = {std::lround(p.x() / step_mm), std::lround(p.y() / step_mm),
                                      std::lround(p.z() / step_mm)};
    if (taken.insert(cell).second) out.push_back(p);
  }
  return out;
}

}  // namespace intercusp
