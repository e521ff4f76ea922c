#include "review/first_picture.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

using namespace intercusp;

namespace {

double hill(double x, double y) {
  return 3 * std::sin(0.3 * x) * std::cos(0.25 * y);
}

/// A hilly square of 60 mm with 2 n^2 triangles.
Body hilly_body(std::uint32_t n) {
  Mesh mesh;
  for (std::uint32_t j = 0; j <= n; ++j) {
    for (std::uint32_t i = 0; i <= n; ++i) {
      const double x = 60.0 * i / n, y = 60.0 * j / n;
      mesh.positions.push_back(Vec3(x, y, hill(x, y)).cast<float>());
    }
  }
  for (std::uint32_t j = 0; j < n; ++j) {
    for (std::uint32_t i = 0; i < n; ++i) {
      const std::uint32_t a = j * (n + 1) + i, b = a + 1, c = a + n + 1, d = c + 1;
      mesh.triangles.push_back({a, b, d});
      mesh.triangles.push_back({a, d, c});
    }
  }
  return make_body("upper_arch", Surface::make(std::move(mesh)));
}

}  // namespace

TEST_CASE("the coarse form of a large body has few triangles and lies where the body lies") {
  const Body body = hilly_body(150);
  const auto coarse = coarse_body(body);
  REQUIRE(coarse);
  CHECK(coarse->name == "upper_arch");
  const Mesh& mesh = coarse->surface->mesh();
  CHECK(mesh.triangles.size() < 12000);
  CHECK(mesh.triangles.size() > 2000);
  double worst = 0;
  for (const Vec3f& p : mesh.positions)
    worst = std::max(worst, std::abs(static_cast<double>(p.z()) - hill(p.x(), p.y())));
  CHECK(worst < 0.3);
  for (int axis = 0; axis < 3; ++axis) {
    CHECK(std::abs(coarse->surface->box().min()[axis] - body.surface->box().min()[axis]) < 1);
    CHECK(std::abs(coarse->surface->box().max()[axis] - body.surface->box().max()[axis]) < 1);
  }
}

TEST_CASE("a small body needs no coarse form") {
  CHECK_FALSE(coarse_body(hilly_body(100)));
  CHECK_FALSE(coarse_body(Body{}));
}

TEST_CASE("coarse forms go with the body of their name") {
  const auto stored = nlohmann::json::parse(R"([
    {"name": "upper_arch", "coarse": true, "pieces": ["c"], "length": 2, "sha256": "s"},
    {"name": "upper_arch", "pieces": ["a", "b"], "length": 9, "sha256": "t"},
    {"name": "lower_arch", "pieces": ["d"], "length": 3, "sha256": "u"}])");
  const auto bodies = with_coarse_forms(stored);
  REQUIRE(bodies.size() == 2);
  CHECK(bodies[0]["pieces"].size() == 2);
  CHECK(bodies[0]["coarse"] == nlohmann::json::parse(R"({"pieces": ["c"], "length": 2, "sha256": "s"})"));
  CHECK_FALSE(bodies[1].contains("coarse"));
}
