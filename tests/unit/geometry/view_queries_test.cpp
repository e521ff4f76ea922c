// Picking, sections, snapping and shading.
#include <doctest/doctest.h>

#include "geometry/feature_snap.h"
#include "geometry/pick.h"
#include "geometry/section.h"
#include "geometry/vertex_shading.h"
#include "shapes.h"

using namespace intercusp;
using doctest::Approx;

namespace {

/// A dome over the plane: z = 2 - (x - cx)^2 - 2 (y - cy)^2, its tip at (cx, cy, 2).
Mesh dome(double cx, double cy, int cells) {
  Mesh m = shapes::sheet(1, 0, cells);
  for (Vec3f& p : m.positions) {
    const double x = p.x() - cx, y = p.y() - cy;
    p.z() = static_cast<float>(2 - x * x - 2 * y * y);
  }
  return m;
}

/// Signed area of a closed line in a plane of unit normal n.
double enclosed(const Polyline& line, const Vec3& n) {
  double twice = 0;
  for (std::size_t i = 0; i < line.points.size(); ++i) {
    twice += n.dot(line.points[i].cross(line.points[(i + 1) % line.points.size()]));
  }
  return twice / 2;
}

}  // namespace

TEST_CASE("picking finds the near side of a posed box") {
  const SurfacePtr box = Surface::make(shapes::box({-1, -1, -1}, {1, 1, 1}));
  const Pose pose = shapes::shifted({10, 0, 0}) * Pose(Eigen::AngleAxisd(kPi / 2, Vec3::UnitZ()));
  const auto hit = pick(*box, pose, {0, 0.25, 0.5}, {2, 0, 0}, 100);
  REQUIRE(hit.has_value());
  CHECK((hit->point - Vec3(9, 0.25, 0.5)).norm() == Approx(0));
  CHECK((hit->normal + Vec3::UnitX()).norm() == Approx(0));
  CHECK(hit->t == Approx(9));
  Vec3 again = Vec3::Zero();
  for (int k = 0; k < 3; ++k) again += hit->barycentric[k] * (pose * box->mesh().corner(hit->triangle, k));
  CHECK((again - hit->point).norm() == Approx(0));
  CHECK_FALSE(pick(*box, pose, {0, 5, 0}, {1, 0, 0}, 100).has_value());
  CHECK_FALSE(pick(*box, pose, {0, 0, 0}, {1, 0, 0}, 8).has_value());
  CHECK_FALSE(pick(*box, pose, {0, 0, 0}, {0, 0, 0}, 100).has_value());
}

TEST_CASE("the section of a box is its outline, with the material to the left") {
  const SurfacePtr box = Surface::make(shapes::box({-1, -2, -3}, {1, 2, 3}));
  shapes::Random random(31);
  for (int i = 0; i < 10; ++i) {
    const Pose pose = random.pose(10);
    const Vec3 normal = pose.linear() * Vec3::UnitZ();
    const auto lines = section(*box, pose, pose * Vec3(5, 5, 0.5), 3 * normal);
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].closed);
    CHECK(enclosed(lines[0], normal) == Approx(8));
    for (const Vec3& p : lines[0].points) CHECK(normal.dot(p - pose * Vec3(0, 0, 0.5)) == Approx(0).epsilon(1e-9));
  }
  CHECK(section(*box, Pose::Identity(), {0, 0, 4}, Vec3::UnitZ()).empty());
  CHECK(section(*box, Pose::Identity(), {0, 0, -3}, Vec3::UnitZ()).empty());  // a vertex on the plane counts as above
  CHECK(section(*box, Pose::Identity(), {0, 0, 3}, Vec3::UnitZ()).size() == 1);
}

TEST_CASE("the section of two shells is two lines, that of an open sheet ends at its border") {
  const Mesh two = shapes::joined(shapes::sphere({-3, 0, 0}, 1, 4), shapes::sphere({3, 0, 0}, 1, 4));
  const auto lines = section(*Surface::make(two), Pose::Identity(), {0, 0, 0.1}, Vec3::UnitZ());
  REQUIRE(lines.size() == 2);
  for (const Polyline& line : lines) {
    CHECK(line.closed);
    CHECK(enclosed(line, Vec3::UnitZ()) == Approx(kPi * 0.99).epsilon(0.01));
  }
  const auto open = section(*Surface::make(shapes::sheet(2, 0, 7)), Pose::Identity(), {0, 0.1, 0}, Vec3::UnitY());
  REQUIRE(open.size() == 1);
  CHECK_FALSE(open[0].closed);
  CHECK((open[0].points.front() - open[0].points.back()).norm() == Approx(4));
}

// Computed: a paraboloid's tip.
TEST_CASE("a pick near a cusp snaps to its tip between the vertices") {
  const SurfacePtr surface = Surface::make(dome(0.13, -0.07, 40));
  for (const Vec3& start : {Vec3(0.4, 0.2, 1.8), Vec3(-0.3, -0.2, 1.6), Vec3(0.13, -0.07, 2)}) {
    const Snapped tip = snap_to_tip(*surface, start, Vec3::UnitZ(), 0.8);
    CHECK(tip.moved);
    CHECK((tip.point - Vec3(0.13, -0.07, 2)).head<2>().norm() < 0.005);
    CHECK(tip.point.z() == Approx(2).epsilon(0.002));
  }
  // A slope whose top lies outside the radius is no cusp.
  CHECK_FALSE(snap_to_tip(*surface, {0.8, 0.8, 0}, Vec3::UnitZ(), 0.2).moved);
}

TEST_CASE("a pick near a ridge snaps across it only") {
  Mesh roof = shapes::sheet(1, 0, 40);  // z = -|x - 0.02| rounded: an incisal edge along y
  for (Vec3f& p : roof.positions) p.z() = static_cast<float>(-std::abs(p.x() - 0.05));
  const Snapped edge = snap_to_ridge(*Surface::make(roof), {0.3, 0.41, -0.25}, Vec3::UnitZ(), Vec3::UnitY(), 0.6);
  CHECK(edge.moved);
  CHECK((edge.point - Vec3(0.05, 0.41, 0)).norm() < 1e-5);
}

TEST_CASE("grooves are darker than the flat and ridges are lighter") {
  Mesh wavy = shapes::sheet(3, 0, 120);
  for (Vec3f& p : wavy.positions) p.z() = static_cast<float>(0.3 * std::cos(3 * p.x()));
  const SurfacePtr surface = Surface::make(wavy);
  const std::vector<float> shade = cavity_shading(*surface),
                           flat = cavity_shading(*Surface::make(shapes::sheet(1, 0, 9)));
  REQUIRE(shade.size() == wavy.positions.size());
  for (const float s : flat) CHECK(s == Approx(0.5));
  for (std::size_t v = 0; v < shade.size(); ++v) {
    const Vec3f& p = wavy.positions[v];
    CHECK(shade[v] >= 0);
    CHECK(shade[v] <= 1);
    if (std::abs(p.y()) > 2.5 || std::abs(p.x()) > 2.5) continue;
    if (p.z() > 0.29) CHECK(shade[v] > 0.6);
    if (p.z() < -0.29) CHECK(shade[v] < 0.4);
  }
}
