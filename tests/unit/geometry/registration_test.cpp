#include "geometry/registration.h"

#include <doctest/doctest.h>

#include "shapes.h"

using namespace intercusp;
using doctest::Approx;

namespace {

/// A ball with bumps: nothing on it repeats, so that only one pose fits.
Mesh bumpy(int levels) {
  Mesh m = shapes::sphere(Vec3::Zero(), 10, levels);
  for (Vec3f& p : m.positions) {
    const Vec3 d = p.cast<double>();
    p *= static_cast<float>(1 + 0.08 * std::sin(0.5 * d.x() + 0.3) * std::cos(0.4 * d.y()) +
                            0.05 * std::sin(0.7 * d.z()));
  }
  return m;
}

double farthest(const Mesh& mesh, const Pose& a, const Pose& b) {
  double most = 0;
  for (const Vec3f& p : mesh.positions) most = std::max(most, (a * p.cast<double>() - b * p.cast<double>()).norm());
  return most;
}

}  // namespace

TEST_CASE("landmarks are carried onto their partners") {
  shapes::Random random(91);
  for (int i = 0; i < 30; ++i) {
    const Pose truth = random.pose(50);
    std::vector<Vec3> from, to;
    for (int k = 0; k < 3 + i % 4; ++k) {
      from.push_back(random.point(20));
      to.push_back(truth * from.back());
    }
    const auto fit = fit_landmarks(from, to);
    REQUIRE(fit.ok());
    CHECK((fit.value().motion.matrix() - truth.matrix()).norm() < 1e-9);
    CHECK(fit.value().rms_mm < 1e-10);
  }
}

// The residual of the best fit is never above that of the true motion, and no nearby motion does better.
TEST_CASE("with errors the fit is the best one, and never a mirror image") {
  shapes::Random random(92);
  std::vector<Vec3> from, to;
  for (int k = 0; k < 8; ++k) {
    from.push_back(random.point(20));
    to.push_back(from.back() + random.point(0.5));
  }
  const LandmarkFit fit = fit_landmarks(from, to).value();
  const auto rms = [&](const Pose& pose) {
    double square = 0;
    for (std::size_t k = 0; k < from.size(); ++k) square += (pose * from[k] - to[k]).squaredNorm();
    return std::sqrt(square / static_cast<double>(from.size()));
  };
  CHECK(rms(fit.motion) == Approx(fit.rms_mm));
  for (int i = 0; i < 50; ++i) {
    const Pose nudge =
        shapes::shifted(random.point(0.01)) * Pose(Eigen::AngleAxisd(0.001, random.point(1).normalized()));
    CHECK(rms(nudge * fit.motion) > fit.rms_mm);
  }
  for (Vec3& p : to) p.x() = -p.x();
  CHECK(fit_landmarks(from, to).value().motion.linear().determinant() == Approx(1));
}

TEST_CASE("landmarks that leave the turn open are refused with a reason") {
  const std::vector<Vec3> line{{0, 0, 0}, {1, 1, 1}, {2, 2, 2}, {5, 5, 5}};
  REQUIRE_FALSE(fit_landmarks(line, line).ok());
  CHECK(fit_landmarks(line, line).error().what.find("one line") != std::string::npos);
  CHECK_FALSE(fit_landmarks({{0, 0, 0}, {1, 0, 0}}, {{0, 0, 0}, {1, 0, 0}}).ok());
  CHECK_FALSE(fit_landmarks({{0, 0, 0}}, {}).ok());
}

TEST_CASE("a surface finds back onto another scan of itself within 3 micrometres") {
  const Mesh coarse = bumpy(5), fine = bumpy(6);
  const SurfacePtr target = Surface::make(fine);
  const Pose truth = shapes::shifted({3, -2, 1}) * Pose(Eigen::AngleAxisd(0.4, Vec3(1, 2, 3).normalized()));
  // The same vertices in another frame: they lie on the target's own surface, to the rounding of floats.
  const SurfacePtr moving = Surface::make(transformed(coarse, truth.inverse()));
  const Pose start = shapes::shifted({0.5, 0.4, -0.3}) * Pose(Eigen::AngleAxisd(0.03, Vec3::UnitX())) * truth;
  const auto found = register_surfaces(*moving, *target, start, {});
  REQUIRE(found.ok());
  CHECK(found.value().settled);
  CHECK(found.value().rms_mm < 1e-3);
  CHECK(farthest(moving->mesh(), found.value().motion, truth) < 3e-3);
  MESSAGE(found.value().rounds << " rounds, off by " << farthest(moving->mesh(), found.value().motion, truth));
}

TEST_CASE("what does not belong is trimmed away") {
  const SurfacePtr target = Surface::make(bumpy(5));
  Mesh swollen = bumpy(5);
  for (Vec3f& p : swollen.positions) {
    if (p.z() > 8) p *= 1.05f;  // 0.5 mm of swelling on one side
  }
  const Pose start = shapes::shifted({0.2, 0.1, -0.2}) * Pose::Identity();
  RegistrationSettings settings;
  settings.kept = 0.8;
  const auto found = register_surfaces(*Surface::make(swollen), *target, start, settings);
  REQUIRE(found.ok());
  CHECK(farthest(swollen, found.value().motion, Pose::Identity()) < 3e-3);
}

TEST_CASE("surfaces that slide on each other, or lie out of reach, are refused with a reason") {
  const SurfacePtr ball = Surface::make(shapes::sphere(Vec3::Zero(), 10, 5));
  const SurfacePtr sheet = Surface::make(shapes::sheet(5, 0, 20)), other = Surface::make(shapes::sheet(8, 0, 20));
  const auto sliding = register_surfaces(*sheet, *other, shapes::shifted({0, 0, 0.1}), {});
  REQUIRE_FALSE(sliding.ok());
  CHECK(sliding.error().what.find("slide") != std::string::npos);
  const auto far = register_surfaces(*ball, *ball, shapes::shifted({100, 0, 0}), {});
  REQUIRE_FALSE(far.ok());
  CHECK(far.error().what.find("reach") != std::string::npos);
  CHECK_FALSE(register_surfaces(*ball, *Surface::make(Mesh{}), Pose::Identity(), {}).ok());
  Progress stopped;
  stopped.cancel();
  CHECK_FALSE(register_surfaces(*ball, *ball, Pose::Identity(), {}, stopped).ok());
}
