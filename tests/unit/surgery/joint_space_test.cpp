#include "surgery/joint_space.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace intercusp;

namespace {

/// A tube along x: from x = -10 to 10, its centre at (forward, up) of the sagittal plane; `part` of the full circle
/// about the upright.
SurfacePtr tube(double forward, double up, double radius, double part) {
  constexpr int n = 720;
  Mesh m;
  for (int i = 0; i <= n; ++i) {
    const double angle = kPi / 2 + part * kPi * (2.0 * i / n - 1);
    for (const double x : {-10.0, 10.0}) {
      m.positions.push_back(
          Vec3(x, -(forward + radius * std::cos(angle)), up + radius * std::sin(angle)).cast<float>());
    }
  }
  for (std::uint32_t i = 0; i < 2 * n; i += 2) {
    m.triangles.push_back({i, i + 1, i + 2});
    m.triangles.push_back({i + 1, i + 3, i + 2});
  }
  return Surface::make(m);
}

}  // namespace

// Computed: condyle of radius 4 in a fossa of radius 6.2 whose centre lies 0.4 forward and 0.3 up.
TEST_CASE("gaps along the axes between two circles, worked by hand") {
  const std::vector<PosedBone> fossa{{tube(0.4, 0.3, 6.2, 0.7), Pose::Identity()}};
  const auto gap = [&](const Vec3& direction) { return gap_along(Vec3::Zero(), direction, fossa).value() - 4; };
  CHECK(std::abs(gap(Vec3::UnitZ()) - 2.487) < 1e-3);
  CHECK(std::abs(gap(-Vec3::UnitY()) - 2.593) < 1e-3);
  CHECK(std::abs(gap(Vec3::UnitY()) - 1.793) < 1e-3);
}

TEST_CASE("joint spaces: concentric circles are even in front and behind, a condyle let down by 1 mm says so") {
  const std::vector<PosedBone> fossa{{tube(0, 0, 6.2, 0.7), Pose::Identity()}};
  const PosedBone seated{tube(0, 0, 4, 1), Pose::Identity()};
  const JointSpaces spaces = joint_spaces(seated, Vec3::Zero(), fossa);
  REQUIRE((spaces.anterior && spaces.superior && spaces.posterior));
  CHECK(std::abs(*spaces.superior - 2.2) < 1e-3);
  CHECK(std::abs(*spaces.anterior - *spaces.posterior) < 0.01);
  // By hand: from a roof 6.2 above, the grazing points lie where the radius meets the line at right angles, so the gap
  // at right angles to the line runs along that radius: 6.2 - 4.
  CHECK(std::abs(*spaces.anterior - 2.2) < 0.01);
  const Pose down(Eigen::Translation3d(0, 0, -1));
  const JointSpaces lower = joint_spaces({seated.surface, down}, down * Vec3::Zero(), fossa);
  REQUIRE(lower.superior.has_value());
  CHECK(std::abs(*lower.superior - 3.2) < 1e-3);
  const Pose forward(Eigen::Translation3d(0, -1, 0));
  const JointSpaces ahead = joint_spaces({seated.surface, forward}, forward * Vec3::Zero(), fossa);
  REQUIRE((ahead.anterior && ahead.posterior));
  CHECK(*ahead.anterior < *spaces.anterior - 0.5);
  CHECK(*ahead.posterior > *spaces.posterior + 0.5);
  CHECK_FALSE(joint_spaces(seated, Vec3::Zero(), {}).superior.has_value());
}
